import type { Effects, LaterEffects, PossibleChange } from "./cell-facts.js";

/** Effects while they are collected. */
export class GatheredEffects {
  readonly uses = new Set<string>();
  readonly assigns = new Set<string>();
  readonly mutates = new Set<string>();
  readonly calls: PossibleChange[] = [];
  changesArguments = false;
  generates = false;

  effects(): Effects {
    const { calls } = this;
    return { uses: [...this.uses], assigns: [...this.assigns], mutates: [...this.mutates], calls };
  }

  later(): LaterEffects {
    const { changesArguments, generates } = this;
    return { ...this.effects(), changesArguments, generates };
  }
}
