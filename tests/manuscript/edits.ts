/** Edits as an author makes them, drawn from a seed. */
export class Editor {
  private state: number;

  constructor(seed: number) {
    this.state = seed >>> 0 || 1;
  }

  /** A whole number from 0 to below `count`. @see Marsaglia (2003) J Stat Softw 8(14), xorshift */
  below(count: number): number {
    this.state ^= this.state << 13;
    this.state ^= this.state >>> 17;
    this.state ^= this.state << 5;
    return (this.state >>> 0) % count;
  }

  /** One number of the document is changed, in one of the ways in which a word processor does it. */
  changeNumber(xml: string): { xml: string; tag: string; how: string } {
    const controls = [...xml.matchAll(/<w:sdt>.*?<\/w:sdt>/gs)].filter(([control]) =>
      /<w:t[^>]*>[^<]*\d[^<]*<\/w:t>/.test(control),
    );
    const chosen = controls[this.below(controls.length)]!;
    const [control] = chosen;
    const tag = /<w:tag w:val="([^"]*)"/.exec(control)![1]!;
    const text = /<w:t [^>]*>([^<]*)<\/w:t>/.exec(control)![1]!;
    const look = /<w:r>(<w:rPr>.*?<\/w:rPr>)?/.exec(control)![1] ?? "";
    const other = this.otherNumber(text);
    const run = (said: string) => `<w:r>${look}<w:t xml:space="preserve">${said}</w:t></w:r>`;
    const oldRun = run(text);
    const edits: Record<string, () => string> = {
      "typed inside the control": () => control.replace(oldRun, run(other)),
      "tracked inside the control": () =>
        control.replace(
          oldRun,
          `<w:del w:id="901" w:author="A"><w:r>${look}<w:delText>${text}</w:delText></w:r></w:del><w:ins w:id="902" w:author="A">${run(other)}</w:ins>`,
        ),
      "in two runs": () =>
        control.replace(oldRun, `${run(other.slice(0, 1))}${run(other.slice(1))}`),
      "retyped without the control": () => run(other),
      "a digit typed before the control": () => `${run("7")}${control}`,
      "a digit typed behind the control": () => `${control}${run("7")}`,
    };
    // A digit against "p = 0.014" or "95 %" is no longer that number's neighbour.
    const names = Object.keys(edits).filter(
      (name) => !name.includes("digit") || /^[\d.]+$/.test(text),
    );
    const how = names[this.below(names.length)]!;
    const at = chosen.index;
    return {
      xml: `${xml.slice(0, at)}${edits[how]!()}${xml.slice(at + control.length)}`,
      tag,
      how: `${tag} “${text}” → “${other}”, ${how}`,
    };
  }

  /**
   * Each number of the text that carries no tag, changed by itself. Left out are numbers that are an
   * author's own: of tables, figures and citations, versions of programs, items of a checklist.
   */
  static plainNumberChanges(xml: string): { xml: string; how: string }[] {
    const body = xml.slice(0, xml.search(/>References</));
    const own = /(?:Tables?|Figures?|CERT|CONSORT|\[|\d,|and|Node\.js|\d\.) ?$/;
    let at = 0;
    return body.split(/(<w:sdt>.*?<\/w:sdt>|<w:t [^>]*>[^<]*<\/w:t>)/gs).flatMap((part) => {
      const start = at;
      at += part.length;
      if (!part.startsWith("<w:t ")) return [];
      const from = part.indexOf(">") + 1;
      return [...part.matchAll(/(?<![\d&#.])\d+(?!\d|\.\d+\.|[ab]? [A-Z])/g)].flatMap(
        ({ 0: digits, index }) => {
          if (index < from || own.test(part.slice(from, index))) return [];
          const place = start + index;
          const other = `${(Number(digits[0]) + 3) % 10}${digits.slice(1)}`;
          const how = `${part.slice(from, index + 20)} → ${other}`;
          return [
            { xml: `${xml.slice(0, place)}${other}${xml.slice(place + digits.length)}`, how },
          ];
        },
      );
    });
  }

  /** Another digit in one place, another sign, or one digit less. */
  private otherNumber(text: string): string {
    const places = [...text.matchAll(/\d/g)].map(({ index }) => index);
    const way = this.below(4);
    if (way === 0 && /^[\d.]+$/.test(text)) return `−${text}`;
    if (way === 1 && places.length > 1 && /\d$/.test(text))
      return text.slice(0, -1).replace(/\.$/, "");
    const at = places[this.below(places.length)]!;
    const digit = (Number(text[at]) + 1 + this.below(9)) % 10;
    return `${text.slice(0, at)}${digit}${text.slice(at + 1)}`;
  }

  /** Words are replaced, moved, formatted and commented; no number is touched. */
  changeWords(xml: string): string {
    const outside = xml.split(/(<w:sdt>.*?<\/w:sdt>)/gs);
    return outside
      .map((part) =>
        part.startsWith("<w:sdt>")
          ? this.reformat(part)
          : part.replace(/<w:r>(?:(?!<\/w:r>).)*<\/w:r>/gs, (run) => this.rewrite(run)),
      )
      .join("");
  }

  private reformat(control: string): string {
    return this.below(3) === 0
      ? control.replace(/<w:r>(?:<w:rPr>.*?<\/w:rPr>)?<w:t/, "<w:r><w:rPr><w:b/><w:i/></w:rPr><w:t")
      : control;
  }

  private rewrite(run: string): string {
    const [, look = "", text = ""] =
      /^<w:r>(<w:rPr>.*?<\/w:rPr>)?<w:t[^>]*>([^<]*)<\/w:t><\/w:r>$/.exec(run) ?? [];
    if (text === "" || this.below(3) > 0) return run;
    const other = text.replace(/(?<![\p{L}\d/])\p{Ll}{4,}(?![\p{L}\d/])/gu, (word) =>
      this.below(5) === 0 ? "reworded" : word,
    );
    const piece = (said: string) => `<w:r>${look}<w:t xml:space="preserve">${said}</w:t></w:r>`;
    const cut = other.indexOf(" ", this.below(other.length));
    const ways = [
      () => piece(other),
      () => `<w:commentRangeStart w:id="7"/>${piece(other)}<w:commentRangeEnd w:id="7"/>`,
      () =>
        `<w:del w:id="903" w:author="A"><w:r><w:delText>${text}</w:delText></w:r></w:del><w:ins w:id="904" w:author="A">${piece(other)}</w:ins>`,
      () => (cut > 0 ? `${piece(other.slice(0, cut))}${piece(other.slice(cut))}` : piece(other)),
    ];
    return ways[this.below(ways.length)]!();
  }
}
