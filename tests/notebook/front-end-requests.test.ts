import { afterAll, beforeAll, expect, it } from "vitest";
import { request } from "../../lib/notebook/wire.js";
import { FrontEndKernel } from "./front-end-kernel.js";
import { type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

let study: TemporaryStudy;
let kernel: FrontEndKernel;

beforeAll(async () => {
  study = temporaryStudy([]);
  kernel = await FrontEndKernel.start(study.path("notebooks"));
}, 60_000);
afterAll(async () => {
  await kernel.stop();
  study.remove();
});

it("answers every request of many that come at once, and fails no cell for it", async () => {
  const asked = Array.from({ length: 300 }, () => kernel.ask("kernel_info_request", {}));
  const replies = await Promise.all(asked);
  expect(replies).toHaveLength(300);
  const { reply, out } = await kernel.run("console.log(41)", "c1");
  expect([reply.content.status, out]).toEqual(["ok", "41\n"]);
});

it.each([
  ["comm_info", { target_name: "jupyter.widget" }, { status: "ok", comms: {} }],
  ["history", { hist_access_type: "tail", n: 3 }, { status: "ok", history: [] }],
])("answers a %s request by the name that the protocol gives", async (name, content, expected) => {
  const { header, content: given } = await kernel.ask(`${name}_request`, content);
  expect(header.msg_type).toBe(`${name}_reply`);
  expect(given).toEqual(expected);
});

it("takes a message that no version of the protocol has, and prints nothing about it", async () => {
  await kernel.run("const kept = 41;", "c1");
  const from = kernel.published.length;
  kernel.tell(request("front-end", "grip_request", {}));
  await kernel.ask("kernel_info_request", {});
  await expect
    .poll(() =>
      kernel.published.slice(from).filter(({ content }) => content.execution_state === "idle"),
    )
    .toHaveLength(2);
  const said = kernel.published.slice(from).map(({ header }) => header.msg_type);
  expect(new Set(said)).toEqual(new Set(["status"]));
});

it.each([
  ["a promise that is never kept", "await new Promise(() => {});"],
  ["a timer", "await new Promise((resolve) => setTimeout(resolve, 3_600_000));"],
  ["a loop of short waits", "for (;;) await new Promise((resolve) => setTimeout(resolve, 5));"],
])("an interrupt on the control channel ends a cell that waits for %s", async (_, code) => {
  await kernel.run("const kgf = 41;", "kept");
  const running = kernel.run(code, "waits");
  await expect
    .poll(() => kernel.published.filter(({ header }) => header.msg_type === "execute_input").at(-1))
    .toMatchObject({ content: { code } });
  const interrupted = await kernel.ask("interrupt_request", {}, "control");
  expect(interrupted).toMatchObject({
    header: { msg_type: "interrupt_reply" },
    content: { status: "ok" },
  });
  expect((await running).reply.content).toMatchObject({ status: "error" });
  const { reply, out } = await kernel.run("console.log(kgf + 1)", "after");
  expect([reply.content.status, out]).toEqual(["ok", "42\n"]);
});
