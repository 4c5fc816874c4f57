// Types of two dependencies that ship none: only what is used here.
declare module "jsdom" {
  export type DOMWindow = Window & typeof globalThis;
  export class VirtualConsole {}
  export class JSDOM {
    constructor(
      html: string,
      options?: {
        runScripts: "outside-only";
        pretendToBeVisual: boolean;
        virtualConsole: VirtualConsole;
      },
    );
    readonly window: DOMWindow;
    getInternalVMContext(): import("node:vm").Context;
  }
}

declare module "opentype.js" {
  const opentype: {
    parse(bytes: ArrayBuffer): {
      unitsPerEm: number;
      ascender: number;
      descender: number;
      charToGlyph(character: string): { advanceWidth?: number };
    };
  };
  export default opentype;
}
