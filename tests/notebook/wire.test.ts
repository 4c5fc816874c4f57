import { describe, expect, it } from "vitest";
import { isSigned, pack, request, signature, unpack } from "../../lib/notebook/wire.js";

const key = "a key of the test";
const message = request("session", "execute_request", { code: "const grip = 41.5;" });

describe("the wire protocol", () => {
  it("signs with HMAC-SHA256 (RFC 4231, test case 2)", () => {
    expect(signature([Buffer.from("what do ya want "), Buffer.from("for nothing?")], "Jefe")).toBe(
      "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843",
    );
  });

  it("reads what it packed, with any routing prefix before the delimiter", () => {
    const frames = [Buffer.from("peer"), ...pack(message, key)];
    expect(unpack(frames, key)).toEqual({ kind: "message", message });
  });

  it("drops a message in which any single byte of any part was changed", () => {
    const frames = pack(message, key);
    for (let part = 1; part < frames.length; part++) {
      for (let at = 0; at < frames[part]!.length; at++) {
        const changed = frames.map((frame) => Buffer.from(frame));
        changed[part]![at]! ^= 1;
        expect(unpack(changed, key)).toEqual({ kind: "dropped", reason: "bad signature" });
      }
    }
  });

  it("drops a message that was signed with another key", () => {
    expect(unpack(pack(message, "another key"), key)).toEqual({
      kind: "dropped",
      reason: "bad signature",
    });
  });

  it("checks the signature before it parses: text that is no JSON is told only when signed", () => {
    const parts = ["{", "{}", "{}", "{}"].map((text) => Buffer.from(text));
    const frames = (signed: string) => [Buffer.from("<IDS|MSG>"), Buffer.from(signed), ...parts];
    expect(unpack(frames("0".repeat(64)), key)).toMatchObject({ reason: "bad signature" });
    expect(unpack(frames(signature(parts, key)), key)).toMatchObject({ reason: "not JSON" });
  });

  it("takes a signature of another length for a wrong one", () => {
    const parts = [Buffer.from("{}")];
    const right = signature(parts, key);
    expect(isSigned(parts, Buffer.from(right), key)).toBe(true);
    expect(isSigned(parts, Buffer.from(right.slice(0, 63)), key)).toBe(false);
    expect(isSigned(parts, Buffer.from(`${right}0`), key)).toBe(false);
    expect(isSigned(parts, Buffer.alloc(0), key)).toBe(false);
  });

  it("drops frames without a delimiter or with too few parts", () => {
    expect(unpack([], key)).toMatchObject({ reason: "no delimiter" });
    expect(unpack(pack(message, key).slice(1), key)).toMatchObject({ reason: "no delimiter" });
    expect(unpack(pack(message, key).slice(0, 4), key)).toMatchObject({ reason: "no delimiter" });
  });
});
