/** The public names: everything that a notebook, and a page of the report, can call. */

// Tables are named through this package: a study's own folder need not have arquero.
export type { ColumnTable } from "arquero";
export * from "./errors.js";
export { type AnswerLine, answersOf } from "./learn/answers.js";
export { playBeforeAfter } from "./learn/before-after-model.js";
export { playCrowds } from "./learn/crowds-model.js";
export {
  type Check,
  type Exercise,
  exercise,
  practiceTable,
  type Student,
  student,
} from "./learn/exercise.js";
export { playLine } from "./learn/line-model.js";
export type { Control, Outcome, Played, Settings } from "./learn/model.js";
export { type Practice, type PracticeSet, practice, studentCode } from "./learn/practice.js";
export { playPull } from "./learn/pull-model.js";
export { playResampling } from "./learn/resampling-model.js";
export { type Simulation, type SimulationInput, simulation } from "./learn/simulation.js";
export { playSqueeze } from "./learn/squeeze-model.js";
export type { Distribution } from "./num/distributions.js";
export { chiSquared, fisherF, noncentralT, normal, studentT } from "./num/distributions.js";
export type { RandomStream } from "./num/random.js";
export { randomStream } from "./num/random.js";
export {
  type Claim,
  type ClaimInput,
  claim,
  type HeldAgainstName,
  type Support,
} from "./show/claim.js";
export { type DisplayBundle, type DisplaySink, onDisplay } from "./show/display.js";
export { boxPlot, type HistogramInput, histogram, type ValueGroup } from "./show/distribution.js";
export { type Figure, type FigureInput, figure } from "./show/figure.js";
export {
  type Finding,
  type FindingInput,
  type Fragility,
  finding,
  type HeldAgainst,
  type Source,
} from "./show/finding.js";
export { type ForestPlotInput, type ForestRow, forestPlot } from "./show/forest.js";
export { glossary, type Term } from "./show/glossary.js";
export {
  type GroupLinesInput,
  groupLines,
  type LinedGroup,
  type LineSpan,
} from "./show/group-lines.js";
export { colours, type Mark, marks, type Role } from "./show/look.js";
export {
  type ChangeGroup,
  type ChangeStripInput,
  changeStrip,
  type PairedArm,
  type PairedDotsInput,
  pairedDots,
} from "./show/people.js";
export { type PersonLine, type PersonSlopesInput, personSlopes } from "./show/person-slopes.js";
export type { Picture } from "./show/picture.js";
export { pictureSvg } from "./show/picture-svg.js";
export {
  type ForceSpeedPlaneInput,
  forceSpeedPlane,
  type PlaneGroup,
  type SpeedForce,
} from "./show/plane.js";
export type { Plot, ReferenceLine, Scale } from "./show/plot.js";
export { type Prose, prose } from "./show/prose.js";
export { type RangeRow, type RangeRowsInput, rangeRows } from "./show/ranges.js";
export {
  agreementPlot,
  type FittedScatterInput,
  fittedScatter,
  type LinePoint,
  type PointGroup,
} from "./show/relation.js";
export { type SpecificationPlotInput, specificationPlot } from "./show/specification.js";
export {
  type Table,
  type TableColumn,
  type TableInput,
  type TableRow,
  table,
} from "./show/table.js";
export { type Terms, termFor, terms } from "./show/terms.js";
export {
  companionText,
  decimalsFor,
  fixedText,
  intervalText,
  type Measured,
  probabilityText,
  significantText,
  valueText,
} from "./show/wording.js";
export { type Agreement, agreement, type LimitIntervals } from "./stats/agreement.js";
export {
  type ApparentResponders,
  apparentResponders,
  type ResponderWorld,
} from "./stats/apparent-responders.js";
export { armEffect, type EffectChoice, effectChoices } from "./stats/arm-effect.js";
export { type Attenuation, attenuation } from "./stats/attenuation.js";
export {
  type AdjustedGroup,
  adjustForBaseline,
  type BaselineAdjustment,
  type BaselineColumns,
} from "./stats/baseline.js";
export {
  type BaselineRelation,
  type BaselineRelationOptions,
  baselineRelation,
  type SelectionGain,
  selectionGain,
} from "./stats/baseline-relation.js";
export { type Bootstrap, type BootstrapOptions, bootstrap } from "./stats/bootstrap/bootstrap.js";
export type { Statistic } from "./stats/bootstrap/draws.js";
export { type Jackknife, jackknife } from "./stats/bootstrap/jackknife.js";
export type { BootstrapMethod } from "./stats/bootstrap/limits.js";
export { type PairedChange, pairedChange } from "./stats/change.js";
export {
  type CorrelationCheck,
  checkCorrelation,
  criticalCorrelation,
  type GainReview,
  reviewGains,
} from "./stats/consistency.js";
export {
  type Correlation,
  type CorrelationKind,
  correlation,
  type RepeatedMeasuresCorrelation,
  repeatedMeasuresCorrelation,
} from "./stats/correlation.js";
export { type DemingLine, fitDeming } from "./stats/deming.js";
export {
  type Description,
  describe,
  type QuantileDefinition,
  quantile,
  serialCorrelation,
} from "./stats/describe.js";
export { type DoseRelation, doseRelation } from "./stats/dose.js";
export { hedgesFactor } from "./stats/effect.js";
export type { Estimate, Interval, Labels, Numbers } from "./stats/estimate.js";
export { correlationOfZ, fisherZ } from "./stats/fisher.js";
export type { Fit } from "./stats/fit.js";
export { compareGroups, type GroupComparison } from "./stats/groups.js";
export { type Icc, type IccForm, icc } from "./stats/icc.js";
export { type Influence, influence, type RowInfluence } from "./stats/influence.js";
export {
  type EffectAt,
  type EffectByTrait,
  effectByTrait,
  type TraitColumns,
} from "./stats/interaction.js";
export {
  type EachStudyOut,
  leaveEachStudyOut,
  type WithoutEach,
  withoutEachPerson,
} from "./stats/leave-out.js";
export {
  fitMixed,
  type MixedColumns,
  type MixedFit,
  type MixedModel,
  type MixedOptions,
} from "./stats/mixed/mixed.js";
export type { RandomSpread, SubjectLine } from "./stats/mixed/mixed-summary.js";
export {
  bootstrapMixed,
  type MixedBootstrap,
  type MixedBootstrapOptions,
} from "./stats/mixed/parametric-bootstrap.js";
export { type Adjustment, adjustP } from "./stats/multiplicity.js";
export { type Normality, normality } from "./stats/normality.js";
export {
  type AdjustedPercent,
  adjustedPercent,
  type PercentDifference,
  percentDifference,
} from "./stats/percent.js";
export { type SignFlip, signFlip } from "./stats/permutation.js";
export {
  type GroupsDesign,
  type GroupsPlan,
  type PairedDesign,
  type PairedPlan,
  type PrecisionPlan,
  planPaired,
  planPrecision,
  planTwoGroups,
  powerPaired,
  powerTwoGroups,
} from "./stats/plan.js";
export {
  type WithoutEachStudy,
  type WithoutStudy,
  withoutEachStudy,
} from "./stats/pool/leave-study-out.js";
export {
  type Pool,
  type PoolColumns,
  type PooledStudy,
  type PoolOptions,
  pool,
} from "./stats/pool/pool.js";
export {
  type CorrelationColumns,
  type CorrelationPool,
  poolCorrelations,
} from "./stats/pool/pool-correlations.js";
export { type Prediction, predictLine } from "./stats/prediction.js";
export { type LineReading, type PublishedLine, readPublishedLine } from "./stats/published-line.js";
export {
  type FitOptions,
  type FTest,
  fitLine,
  fitLinear,
  type LinearFit,
  type LineFit,
} from "./stats/regression.js";
export { type Reliability, reliability } from "./stats/reliability.js";
export {
  type ErrorByTrials,
  errorByTrials,
  type RepeatsRow,
  spearmanBrown,
} from "./stats/repeats.js";
export {
  type IndividualResponse,
  individualResponse,
  type Responder,
  responders,
  type SmallestWorthwhile,
  smallestWorthwhile,
} from "./stats/responders.js";
export type { StandardErrors } from "./stats/robust.js";
export { type SignedRank, signedRank, type ZeroChanges } from "./stats/signed-rank.js";
export { type SubjectSlope, type SubjectSlopes, subjectSlopes } from "./stats/slopes.js";
export {
  type GroupLine,
  type Reversal,
  type SlopesByGroup,
  slopesByGroup,
} from "./stats/slopes-by-group.js";
export {
  type Choice,
  type Specification,
  type SpecificationCurve,
  specificationCurve,
} from "./stats/specification.js";
export { type ChoiceLine, summariseSpecifications } from "./stats/specification-summary.js";
export type { MeanSquares } from "./stats/trials.js";
export { type OneWayAnova, oneWayAnova, type VarianceLine } from "./stats/variance.js";
export { splitWithinBetween, type WithinBetween } from "./stats/within-between.js";
export type { CalibrationLine } from "./study/check/calibration.js";
export type { AccountLine, Issue, IssueCode, SetAside, Severity } from "./study/check/issue.js";
export { type SmallCell, type SmallCells, smallCells } from "./study/check/small-cells.js";
export {
  type NormBand,
  type NormPerson,
  type NormPlace,
  type NormTable,
  normMedian,
  normPercentile,
} from "./study/norms.js";
export { type InspectOptions, inspectStudy, openStudy, readStudy } from "./study/open.js";
export type {
  Arm,
  Occasion,
  PlanChange,
  Position,
  StudyDesign,
  StudyPlan,
} from "./study/package/design.js";
export { checkPackage, type PackageCheck, type ProfileFault } from "./study/package/profile.js";
export {
  type PublishedColumn,
  type PublishedTable,
  publishedTable,
} from "./study/package/published.js";
export { type Allocation, allocate } from "./study/plan/allocation.js";
export {
  type Decision,
  type PlanInput,
  recordPlan,
  recordPlanChange,
} from "./study/plan/plan-record.js";
export {
  type GripTask,
  type RecordingSheets,
  recordingSheets,
  type SheetPerson,
} from "./study/plan/sheets.js";
export { type TestOrder, testOrders, williamsOrders } from "./study/plan/sheets-order.js";
export { emptyStudy, type StarterOptions } from "./study/plan/starter.js";
export { coachNine, demoStudies, winterBlock } from "./study/simulate/demo.js";
export { simulateStudy } from "./study/simulate/simulate.js";
export type {
  SimulatedArm,
  SimulatedStudy,
  SimulationOptions,
  TrueVisit,
} from "./study/simulate/simulation.js";
export type { Inspection, Study } from "./study/study.js";
export {
  type BeforeAfter,
  type BeforeAfterOptions,
  beforeAfter,
  type Missing,
} from "./study/tables/before-after.js";
export { csvText } from "./study/tables/csv-writing.js";
export { type DataFrame, toFrame } from "./study/tables/frame.js";
export { type GripInSwing, gripInSwing, type HandInSwing } from "./study/tables/grip-in-swing.js";
export { type GripWithSpeed, gripWithSpeed } from "./study/tables/grip-with-speed.js";
export { leaveEachOut } from "./study/tables/leave-out.js";
export { withoutOutlyingTrials } from "./study/tables/outlying.js";
export { gripRules, type RuleChoice, type SummaryRule, speedRules } from "./study/tables/rules.js";
export type { Where } from "./study/tables/selection.js";
export { type SourceOptions, type SourceRecord, sourceOf } from "./study/tables/source.js";
export { type SummaryOptions, summariseGrip, summariseSpeed } from "./study/tables/summary.js";
export {
  summariseTraining,
  type TrainedPerson,
  type TrainingOptions,
  type TrainingSummary,
} from "./study/tables/training.js";
export {
  participantColumn,
  type TrialsByPerson,
  type TrialsOptions,
  trialsByPerson,
} from "./study/tables/trials-by-person.js";
export { withoutParticipant, withSetAsides } from "./study/tables/variants.js";
export type { AmountRange, AmountRangeLike } from "./swing/amount.js";
export { type ClubLength, clubLength } from "./swing/club.js";
export {
  type FrictionNeeded,
  frictionNeeded,
  type HoldDemand,
  holdDemand,
  type ShareNeeded,
  shareNeeded,
  shareOfMaximum,
} from "./swing/hold.js";
export { type PlayLevel, playLevels, type TradeSayings, tradeSayings } from "./swing/levels.js";
export { type ClubPull, clubPull, type PullInput, type Swinger } from "./swing/pull.js";
export { conversionFactor, convert } from "./units/convert.js";
export { type Quantity, readUnit, type Unit, type UnitSymbol, unitsKnown } from "./units/unit.js";
