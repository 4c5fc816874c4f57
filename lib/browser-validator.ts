import { InputError } from "./errors.js";
import type * as disk from "./study/package/validator.js";

/**
 * What a page has in the place of study/package/validator.ts. Validators are programs compiled when
 * they are first used, which the content policy of our pages forbids; and a page only holds studies
 * whose descriptor was validated when the study was read from the disk.
 */
export const validates: typeof disk.validates = false;

export const validatorOf: typeof disk.validatorOf = () => () => {
  throw new InputError({
    expected: "the library outside of a page",
    got: "a page, which holds no validator of descriptors",
    where: "checkPackage",
  });
};
