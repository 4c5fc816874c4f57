/** Labels of the controls of a model, by the name of the control. */
type Labels<Name extends string> = Readonly<Record<Name, string>>;

/** Studies that a picture shows, as words to choose from. */
export type ShownChoice = Labels<"one" | "all">;

/** An interval as numbers. */
export interface Limits {
  /** Lower limit. */
  readonly low: number;
  /** Upper limit. */
  readonly high: number;
}

/** An estimate with its interval. */
export interface Found extends Limits {
  /** The estimate. */
  readonly value: number;
}

/** Words of the squads that are tested twice. */
export interface SqueezeWords {
  /** Labels of the controls. */
  readonly labels: Labels<"shown" | "people" | "trials" | "error" | "change" | "rule">;
  /** How many studies the picture shows. */
  readonly shown: ShownChoice;
  /** Which value is taken from the squeezes. */
  readonly rule: Labels<"mean" | "switched">;
  /** Title of the picture. */
  readonly title: (golfers: number, one: boolean) => string;
  /** Titles of the axes, with their units. */
  readonly axes: Labels<"change" | "golfers">;
  /** Names of the upright lines. */
  readonly rules: Labels<"below" | "above" | "none" | "truth">;
  /** The result in words. */
  readonly sentence: (facts: SqueezeFacts) => string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: string;
}

/** Numbers of the sentence about squads. */
export interface SqueezeFacts {
  /** Whether one study is shown, and not all. */
  readonly one: boolean;
  /** Golfers in a study. */
  readonly people: number;
  /** Squeezes of a test. */
  readonly trials: number;
  /** Whether the rule changes from mean to best. */
  readonly switched: boolean;
  /** Error of one squeeze, kgf. */
  readonly error: number;
  /** True change, kgf. */
  readonly change: number;
  /** Minimal detectable change, kgf. */
  readonly detectable: number;
  /** What the switch of the rule adds. */
  readonly gain: number;
  /** Central 95 % of the measured changes. */
  readonly changes: Limits;
  /** Golfers of the first squad beyond the detectable change. */
  readonly beyond: number;
  /** Golfers of a squad beyond it, on average. */
  readonly passing: number;
  /** Central 95 % of that number. */
  readonly range: Limits;
}

/** Words of lines through golfers. */
export interface LineWords {
  /** Labels of the controls. */
  readonly labels: Labels<"shown" | "people" | "trials" | "error" | "slope" | "stranger">;
  /** How many studies the picture shows. */
  readonly shown: ShownChoice;
  /** Title of the picture. */
  readonly title: (people: number, others: number) => string;
  /** Titles of the axes, with their units. */
  readonly axes: Labels<"grip" | "speed">;
  /** The result in words. */
  readonly sentence: (facts: LineFacts) => string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: (one: boolean) => string;
}

/** Numbers of the sentence about lines. */
export interface LineFacts {
  /** Whether one study is shown, and not all. */
  readonly one: boolean;
  /** Golfers in a study. */
  readonly people: number;
  /** Studies that are simulated. */
  readonly studies: number;
  /** Slope of the first study, mph per kgf. */
  readonly first: Found;
  /** True slope, mph per kgf. */
  readonly truth: number;
  /** Central 95 % of the slopes. */
  readonly slopes: Limits;
  /** Mean of the slopes. */
  readonly average: number;
  /** Intervals that include the true slope. */
  readonly holding: number;
  /** How far one golfer is off the line of the others, mph; 0 for none. */
  readonly stranger: number;
  /** Half-width for the mean at the mean grip, mph. */
  readonly meanHalf: number;
  /** Half-width for one golfer at the mean grip, mph. */
  readonly singleHalf: number;
}

/** Words of golfers that a reader moves beside their line. */
export interface OwnLineWords {
  /** Name of a dot that is moved. */
  readonly golfer: (name: string) => string;
  /** Label of a golfer's grip. */
  readonly grip: (name: string) => string;
  /** Label of a golfer's speed. */
  readonly speed: (name: string) => string;
  /** Title of the picture. */
  readonly title: (people: number) => string;
  /** Titles of the axes, with their units. */
  readonly axes: Labels<"grip" | "speed">;
  /** Where all grips are equal. */
  readonly noLine: string;
  /** The result in words. */
  readonly sentence: (facts: {
    readonly slope: Found;
    readonly residualSd: number;
    readonly farthest: string;
    readonly leverage: number;
  }) => string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: string;
}

/** Words of studies with and without a control group. */
export interface BeforeAfterWords {
  /** Labels of the controls. */
  readonly labels: Labels<
    "shown" | "people" | "trials" | "error" | "effect" | "learning" | "chosen"
  >;
  /** How many studies the picture shows. */
  readonly shown: ShownChoice;
  /** Who takes part. */
  readonly chosen: Labels<"all" | "weakest">;
  /** Titles of the panels. */
  readonly titles: Labels<"alone" | "against" | "trained" | "control">;
  /** Titles of the axes, with their units. */
  readonly axes: Labels<"alone" | "against" | "times" | "grip">;
  /** The result in words. */
  readonly sentence: (facts: BeforeAfterFacts) => string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: (one: boolean) => string;
}

/** Numbers of one way to read the studies. */
export interface ReadStudies {
  /** The first study. */
  readonly first: Found;
  /** Mean over all studies, kgf. */
  readonly mean: number;
  /** Intervals that include the true effect. */
  readonly holding: number;
  /** Intervals above zero. */
  readonly above: number;
  /** Mean half-width, kgf. */
  readonly half: number;
}

/** Numbers of the sentence about studies with and without a control group. */
export interface BeforeAfterFacts {
  /** Whether one study is shown, and not all. */
  readonly one: boolean;
  /** Golfers in a study. */
  readonly people: number;
  /** Studies that are simulated. */
  readonly studies: number;
  /** Whether the weakest third takes part. */
  readonly weakest: boolean;
  /** True effect, kgf. */
  readonly effect: number;
  /** The block alone. */
  readonly alone: ReadStudies;
  /** Trained − control group. */
  readonly against: ReadStudies;
  /** Change of the first study's control group, kgf. */
  readonly control: number;
}

/** Words of golfers that a reader moves, before and after. */
export interface OwnChangesWords {
  /** A golfer's value before. */
  readonly before: (name: string) => string;
  /** A golfer's value after. */
  readonly after: (name: string) => string;
  /** Title of the picture. */
  readonly title: (people: number) => string;
  /** Titles of the axes, with their units. */
  readonly axes: Labels<"times" | "grip">;
  /** The result in words. */
  readonly sentence: (facts: {
    readonly change: Found;
    readonly sd: number;
    readonly changes: readonly { readonly name: string; readonly change: number }[];
  }) => string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: string;
}

/** Words of studies that are resampled. */
export interface ResamplingWords {
  /** Labels of the controls. */
  readonly labels: Labels<
    "shown" | "people" | "resamples" | "spread" | "effect" | "shape" | "method"
  >;
  /** How many studies the picture shows. */
  readonly shown: ShownChoice;
  /** How changes are distributed. */
  readonly shape: Labels<"even" | "long">;
  /** Interval that is drawn. */
  readonly method: Labels<"percentile" | "bca" | "t">;
  /** Titles of the panels. */
  readonly titles: Labels<"first" | "percentile" | "bca" | "t">;
  /** Titles of the axes, with their units. */
  readonly axes: Labels<"change" | "resamples" | "mean">;
  /** Names of the limits. */
  readonly limits: Labels<"low" | "high">;
  /** The result in words. */
  readonly sentence: (facts: ResamplingFacts) => string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: (one: boolean) => string;
}

/** Numbers of the sentence about resampled studies. */
export interface ResamplingFacts {
  /** Whether one study is shown, and not all. */
  readonly one: boolean;
  /** Golfers in a study. */
  readonly people: number;
  /** Resamples of a study. */
  readonly resamples: number;
  /** Studies that are simulated. */
  readonly studies: number;
  /** Interval that is drawn. */
  readonly method: "percentile" | "bca" | "t";
  /** The first study. */
  readonly first: Found;
  /** Intervals that include the true change. */
  readonly counts: Readonly<Record<"percentile" | "bca" | "t", number>>;
}

/** Words of slopes within and between golfers. */
export interface WithinWords {
  /** Labels of the controls. */
  readonly labels: Labels<"shown" | "people" | "visits" | "error" | "within" | "between" | "lines">;
  /** How many studies the picture shows. */
  readonly shown: ShownChoice;
  /** Which lines of golfers are drawn. */
  readonly lines: Labels<"own" | "shrunken">;
  /** Titles of the panels. */
  readonly titles: { readonly golfers: string; readonly slopes: (studies: number) => string };
  /** Titles of the axes, with their units. */
  readonly axes: Labels<"grip" | "speed" | "within" | "between">;
  /** The result in words. */
  readonly sentence: (facts: WithinFacts) => string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: (one: boolean) => string;
}

/** Numbers of the sentence about slopes within and between golfers, in mph per kgf. */
export interface WithinFacts {
  /** Whether one study is shown, and not all. */
  readonly one: boolean;
  /** Golfers in a study. */
  readonly people: number;
  /** Visits of a golfer. */
  readonly visits: number;
  /** Studies that are simulated. */
  readonly studies: number;
  /** Slope between golfers of the first study. */
  readonly between: number;
  /** Mean slope within golfers of the first study. */
  readonly within: number;
  /** Studies whose two slopes have opposite signs. */
  readonly odd: number;
  /** Spans of slopes, where the mixed model's lines are drawn. */
  readonly spans?: { readonly shrunken: number; readonly own: number };
}

/** Words of the pull of the club. */
export interface PullWords {
  /** Labels of the controls. */
  readonly labels: Labels<"speed" | "head" | "hand" | "poor" | "good">;
  /** Titles of the panels. */
  readonly titles: Labels<"pull" | "squeeze">;
  /** Titles of the axes, with their units. */
  readonly axes: Labels<"speed" | "pull" | "squeeze">;
  /** The result in words. */
  readonly sentence: (facts: PullFacts) => string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: string;
}

/** Numbers of the sentence about the pull. */
export interface PullFacts {
  /** Club-head speed, mph. */
  readonly speed: number;
  /** Pull in N and in kgf, with its plausible range in N. */
  readonly newtons: number;
  /** Pull, kgf. */
  readonly kgf: number;
  /** Plausible range of the pull, N. */
  readonly band: Limits;
  /** The calculation, a step each. */
  readonly working: readonly string[];
  /** How much larger the pull is at 10 % more speed, %. */
  readonly more: number;
  /** Readings of both hands, added, kgf. */
  readonly need: Limits;
}

/** Words of panels with an interval for each study. */
export interface IntervalsWords {
  /** Name of the line at zero. */
  readonly none: string;
  /** Name of the line at the true effect. */
  readonly truth: string;
  /** Title of the axis along which the studies are sorted. */
  readonly sorted: (shown: number, studies: number) => string;
}

/** All words of the lessons' figures to play with, in one language. */
export interface ModelWords {
  /** Panels with an interval for each study. */
  readonly intervals: IntervalsWords;
  /** Squads tested twice. */
  readonly squeeze: SqueezeWords;
  /** A line through golfers. */
  readonly line: LineWords;
  /** Golfers to move, with their line. */
  readonly ownLine: OwnLineWords;
  /** Studies with and without a control group. */
  readonly beforeAfter: BeforeAfterWords;
  /** Golfers to move, before and after. */
  readonly ownChanges: OwnChangesWords;
  /** Studies that are resampled. */
  readonly resampling: ResamplingWords;
  /** Slopes within and between golfers. */
  readonly within: WithinWords;
  /** The pull of the club. */
  readonly pull: PullWords;
}
