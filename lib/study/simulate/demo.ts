import type { SimulationOptions } from "./simulation.js";

const cautions = [
  "Squeeze with full effort only when hands and wrists are free of pain; stop at once if it hurts.",
  "Do not test a hand or wrist that was operated on in the last three months, or anyone with uncontrolled blood pressure, unless a clinician agrees.",
  "Breathe out while squeezing; never hold the breath.",
  "Before every swing make sure that nobody stands where club, ball or loose stones could hit them.",
  "Local rules, ethics approval and licensed practice come first.",
];

const positions = [
  {
    id: "address",
    title: "At address",
    how: "Standing as if to a ball, arms hanging, the elbow nearly straight",
    share: 1,
  },
  {
    id: "seated",
    title: "Seated",
    how: "Seated without arm rests, elbow at a right angle, forearm in mid-position",
    share: 0.97,
  },
  {
    id: "top",
    title: "Top of the swing",
    how: "Standing, the hand at shoulder height as at the top of the backswing",
    share: 0.9,
  },
];

/** What both demo studies share: the errors of measurement, and how people differ. */
const shared = {
  positions,
  club: "driver",
  trials: 3,
  swings: 8,
  restSeconds: 60,
  gripSdShare: 0.14,
  dominancePercent: 10,
  trialErrorKgf: 1.5,
  sessionErrorKgf: 1.1,
  fatiguePercent: -1,
  learningKgf: 0.3,
  learningMph: 0.2,
  swingErrorPercent: 1.5,
  sessionErrorMph: 0.8,
  speedSdMph: 6,
  speedPerKgfBetween: 0.25,
  speedPerKgfWithin: 0.35,
  missedShare: 0.12,
  doseShare: 0.5,
  responseSdPercent: 2,
  gainShare: { "lead top": 0.8, "trail top": 0.8 },
  cautions,
};

/**
 * The options of the demo study "winter-block": a six-week grip block against swing practice, 26
 * golfers. Invented; its true effects are a rise of 6 % in grip and 1.5 mph in speed.
 */
export const winterBlock: SimulationOptions = {
  ...shared,
  name: "winter-block",
  title: "Winter block (simulated)",
  description:
    "Simulated data: nobody was tested. Made by the study simulator of this library, seed 20250106, with a true rise of 6 % in grip and 1.5 mph in club-head speed in the grip arm.",
  question:
    "Does a six-week grip block raise grip strength and club-head speed more than swing practice?",
  seed: 20_250_106,
  arms: [
    {
      id: "grip",
      title: "Grip block",
      people: 13,
      gripGainPercent: 6,
      speedGainMph: 1.5,
      sessionsPerWeek: 3,
      minutes: 15,
    },
    {
      id: "swing",
      title: "Swing practice",
      control: true,
      people: 13,
      gripGainPercent: 0,
      speedGainMph: 0,
      sessionsPerWeek: 3,
      minutes: 15,
    },
  ],
  occasions: [
    { id: "w0", week: 0, title: "Before the block" },
    { id: "w3", week: 3, title: "Halfway" },
    { id: "w6", week: 6, title: "After the block" },
  ],
  start: "2025-01-06",
  ages: [19, 74],
  women: 0.38,
  leftSided: 0.12,
  handsAs: "side",
  withdrawals: [
    { arm: "grip", place: 4, after: "w3", reason: "moved away" },
    { arm: "swing", place: 9, after: "w0", reason: "back pain at work, not from the study" },
  ],
  missedVisits: [{ person: 20, occasion: "w3" }],
  faults: [
    {
      person: 2,
      occasion: "w0",
      place: 7,
      of: "grip",
      status: "device",
      note: "display went dark",
    },
    {
      person: 7,
      occasion: "w3",
      place: 11,
      of: "grip",
      status: "pain-stop",
      note: "thumb sore, stopped",
    },
    {
      person: 7,
      occasion: "w3",
      place: 13,
      of: "grip",
      status: "refused",
      note: "left out after the pain",
    },
    {
      person: 18,
      occasion: "w6",
      place: 2,
      of: "grip",
      status: "device",
      note: "display went dark",
    },
    { person: 5, occasion: "w0", place: 3, of: "swing", status: "device", note: "no reading" },
    { person: 16, occasion: "w6", place: 0, of: "swing", status: "device", note: "no reading" },
  ],
  otherUnits: [
    { person: 8, occasion: "w3", force: "N", speed: "m/s" },
    { person: 21, occasion: "w3", force: "N", speed: "m/s" },
    { person: 11, occasion: "w6", force: "lbf", speed: "km/h" },
  ],
  setAside: {
    person: 14,
    occasion: "w6",
    hand: "trail",
    position: "seated",
    trial: 2,
    reason: "handle slipped in the hand, written down at the test",
    decidedOn: "2025-02-20",
  },
  plan: {
    decidedOn: "2024-12-16",
    primary: {
      outcome: "grip",
      hand: "lead",
      position: "address",
      before: "w0",
      after: "w6",
      contrast: "grip block − swing practice, adjusted for the value before the block",
      unit: "kgf",
    },
    summaries: { grip: "mean3", speed: "mean" },
    level: 0.95,
    seed: 20_250_106,
    smallestWorthwhile: { grip_kgf: 1.5, speed_mph: 1 },
    calibration: "none",
  },
  changes: [
    {
      on: "2025-02-20",
      what: "Two golfers were recorded in newtons and m/s at week 3, one in lbf and km/h at week 6; units are given row by row.",
      why: "The displays had been switched, which was noticed after the session.",
    },
  ],
};

/**
 * The options of the demo study "coach-nine": what a coach's handful looks like, one arm, nine
 * golfers, two occasions and no control. Invented, with the same true effects.
 */
export const coachNine: SimulationOptions = {
  ...shared,
  name: "coach-nine",
  title: "A coach's nine (simulated)",
  description:
    "Simulated data: nobody was tested. Made by the study simulator of this library, seed 9, with a true rise of 6 % in grip and 1.5 mph in club-head speed and no control arm.",
  question: "What can nine golfers without a control arm show about a four-week grip block?",
  seed: 9,
  arms: [
    {
      id: "grip",
      title: "Grip block",
      people: 9,
      gripGainPercent: 6,
      speedGainMph: 1.5,
      sessionsPerWeek: 3,
      minutes: 15,
    },
  ],
  occasions: [
    { id: "before", week: 0, title: "Before" },
    { id: "after", week: 4, title: "After" },
  ],
  positions: positions.slice(0, 1),
  start: "2025-03-03",
  ages: [24, 66],
  women: 0.33,
  leftSided: 0.11,
  handsAs: "club",
  withdrawals: [],
  missedVisits: [],
  faults: [
    {
      person: 3,
      occasion: "after",
      place: 4,
      of: "grip",
      status: "device",
      note: "display went dark",
    },
  ],
  otherUnits: [],
  exports: {
    // As the coach's speed meter hands it out: own headings, day first, a decimal comma.
    "swing-trials": {
      path: "speed-meter.csv",
      delimiter: ";",
      reading: {
        columns: {
          Player: "participant",
          Test: "occasion",
          Day: "date",
          Club: "club",
          Device: "device",
          "Swing no.": "swing",
          "Club speed (mph)": "speed",
        },
        values: { occasion: { Pre: "before", Post: "after" } },
        constants: { unit: "mph", status: "valid" },
        format: { date: "%d.%m.%Y" },
      },
    },
  },
  plan: {
    decidedOn: "2025-02-24",
    primary: {
      outcome: "grip",
      hand: "lead",
      position: "address",
      before: "before",
      after: "after",
      contrast: "after − before in one arm; without a control this is a change, not an effect",
      unit: "kgf",
    },
    summaries: { grip: "mean3", speed: "mean" },
    level: 0.95,
    seed: 9,
    smallestWorthwhile: { grip_kgf: 1.5, speed_mph: 1 },
    calibration: "none",
  },
  changes: [],
};

/** Both demo studies. */
export const demoStudies: readonly SimulationOptions[] = [winterBlock, coachNine];
