/**
 * The words on a recording sheet, our own. Sources of what they ask: screening for pain and for hand
 * surgery in the last three months, breathing out while squeezing, and a trial that counts only when
 * it was done: NHANES 2011–2012 grip test (MGX_G), National Center for Health Statistics. Stop on
 * unusual pain: clinical hand assessment recommendations (ASHT, 2015). Blood pressure rises with
 * static effort: Front Physiol 2022, doi:10.3389/fphys.2022.962125. Clear swing area: rules of golf.
 */

/** Questions before any test; a "yes" means no test until the right person has said that it may be. */
export const screeningQuestions = [
  "Pain, aching, stiffness or numbness in a hand, wrist, elbow, shoulder or the back, today or in the last seven days?",
  "An operation on a hand or wrist in the last three months, or an injury that is still healing?",
  "High blood pressure that is not under control, a heart complaint, or a clinician's advice to avoid hard effort?",
  "Anything else today that makes a maximal squeeze or a full swing unwise (illness, dizziness, pregnancy, medicine)?",
] as const;

/** What a "yes" in the screening questions means. */
export const screeningRule =
  "Any yes: do not test that hand or that swing today. Write it down; the person's clinician decides.";

/** Limits of what the sheet can decide. */
export const deference =
  "This sheet does not replace the approval of your ethics committee, the rules of your laboratory or club, or the judgement of a licensed professional. Where they differ from it, follow them.";

/** When a test ends at once, and what is recorded then. */
export const stopRule =
  "Stop at once on pain, numbness, dizziness or if the person asks. Write pain-stop or refused, leave the value empty, and do not repeat the trial.";

/** What the tester does and says at the dynamometer. */
export function gripScript({
  restSeconds,
  trials,
}: {
  restSeconds: number;
  trials: number;
}): readonly string[] {
  return [
    "Set the handle to the person's own setting, the same at every visit, and note it.",
    "Show one trial. Let the person try once at half effort; that squeeze is not recorded.",
    'Say: "When I say squeeze, breathe out and squeeze as hard as you can, building up, not jerking. Keep on until I say stop."',
    "Say squeeze; after three seconds say stop. Use the same words and voice every time, and do not tell the value.",
    "The lead hand is the one nearer the target on the club: the left of a right-sided player.",
    `Follow the rows in their order, ${trials} for each hand, hands in turn. Leave at least ${restSeconds} seconds between two squeezes of the same hand${restSeconds < 90 ? "; 90 seconds tire it less" : ""}.`,
    "Write every value as the device shows it, with its unit. A squeeze that went wrong keeps its row: give it a status.",
  ];
}

/** What the tester does and says on the tee. */
export function swingScript({ swings }: { swings: number }): readonly string[] {
  return [
    "Clear the swing area: no person within reach of club, ball, stones or twigs, also during practice swings.",
    "Look at club head, shaft and grip before the first swing. Damaged clubs are not swung.",
    "Let the person warm up as at every visit, with easy swings that get faster. These are not recorded.",
    `Say: "Swing as you would for your longest controlled drive." Record ${swings} swings, including every swing made; 30 seconds or more between them.`,
    "Same club, ball, device and place at every visit. Write down any change.",
  ];
}
