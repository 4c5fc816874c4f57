/**
 * Studies and what a notebook shows of them: opening and checking a study, summaries, plans, and
 * findings, figures, tables and claims. Statistics, units, lessons and simulated studies have
 * entries of their own.
 * @module tautline
 */

// Tables are named through this package: a study's own folder need not have arquero.
export type { ColumnTable } from "arquero";
export {
  amongNorms,
  type GolferAmongNorms,
  type NormsAnswer,
} from "./analysis/among-norms.js";
export { baselineOf } from "./analysis/baseline-of.js";
export { byHandAndPosition } from "./analysis/by-hand-and-position.js";
export type { ChangeRow } from "./analysis/change-rows.js";
export { changeWithin } from "./analysis/change-within.js";
export { type CompareArmsOptions, compareArms } from "./analysis/compare-arms.js";
export { compareStudies } from "./analysis/compare-studies.js";
export { type DemandAnswer, type DemandOptions, demandOf } from "./analysis/demand-of.js";
export {
  type DevicesAnswer,
  devicesOf,
  rowsOfFiles,
  type StudyRows,
} from "./analysis/devices-of.js";
export {
  type DoseAnswer,
  type DoseOptions,
  type DosePoint,
  doseOf,
} from "./analysis/dose-of.js";
export { equivalenceOf, type WorthwhileBound } from "./analysis/equivalence-of.js";
export { type ErrorsInRelation, errorInRelation } from "./analysis/error-in-relation.js";
export { exactTest } from "./analysis/exact-test.js";
export { individualResponseOf } from "./analysis/individual-response-of.js";
export { missingGolfers } from "./analysis/missing-golfers.js";
export type { Change, Outcome } from "./analysis/outcome.js";
export type { OutcomeChoice } from "./analysis/outcome-choice.js";
export type { OutcomeParts, OutcomeRow } from "./analysis/outcome-rows.js";
export { percentsOf } from "./analysis/percents-of.js";
export { allocationDraw, planTable } from "./analysis/plan-table.js";
export { type PublishedGains, poolGains } from "./analysis/pool-gains.js";
export { poolGolfers } from "./analysis/pool-golfers.js";
export { type PublishedPool, poolPublished } from "./analysis/pool-published.js";
export {
  type PoolAnswer,
  type PoolStudiesOptions,
  poolStudies,
} from "./analysis/pool-studies.js";
export type { PooledRow } from "./analysis/pooled-row.js";
export { type RelateOptions, type RelationAnswer, relate } from "./analysis/relate.js";
export {
  type GroupedRelation,
  type GroupOptions,
  type RelationGroup,
  relateInGroups,
} from "./analysis/relate-in-groups.js";
export { type GolferLine, relateWithin, type WithinRelation } from "./analysis/relate-within.js";
export type { Related, RelatedPoint } from "./analysis/related-rows.js";
export type { RelationBand, RelationUnits } from "./analysis/relation-tables.js";
export { type RelationToBaseline, relationToBaseline } from "./analysis/relation-to-baseline.js";
export { type ReliabilityByPlace, reliabilityByPlace } from "./analysis/reliability-by-place.js";
export {
  type ReliabilityAnswer,
  type ReliabilityOptions,
  reliabilityOf,
} from "./analysis/reliability-of.js";
export type { RepeatedValues } from "./analysis/repeated-values.js";
export { type RespondersAnswer, respondersOf } from "./analysis/responders-of.js";
export type { ResultColumn, ResultRow, ResultTable } from "./analysis/result-table.js";
export { ruleDifference } from "./analysis/rule-difference.js";
export type { Alternatives } from "./analysis/specification-choices.js";
export {
  type EffectSpecification,
  type SpecificationsAnswer,
  specifications,
} from "./analysis/specifications.js";
export { standardised } from "./analysis/standardised.js";
export {
  type Answer,
  type AnswerQuantity,
  type Counted,
  type LeaveOneOutRange,
  type MeasureName,
  type ReferenceValue,
  singleAnswers,
  type VisitName,
} from "./analysis/study-answer.js";
export { openStudy, type StudyOutcomes } from "./analysis/study-outcomes.js";
export { type StudySize, type StudySizeOptions, studySize } from "./analysis/study-size.js";
export {
  type GroupEffect,
  type SubgroupColumn,
  type SubgroupsAnswer,
  subgroups,
} from "./analysis/subgroups.js";
export type { PlaneGolfer } from "./analysis/swing-pull.js";
export { type ArmVisitMean, type VisitsAnswer, visitsOf } from "./analysis/visits-of.js";
export { type CsvValue, csvText, type Delimiter } from "./csv-writing.js";
export * from "./errors.js";
export { progress } from "./show/cell-progress.js";
export { type ChangeGroup, type ChangeStripInput, changeStrip } from "./show/change-strip.js";
export { type ClaimInput, claim } from "./show/claim.js";
export type { Claim, ClaimBound, ClaimRelation, ClaimWords, Support } from "./show/claim-record.js";
export { type DisplayBundle, type DisplaySink, onDisplay } from "./show/display.js";
export { boxPlot, type HistogramInput, histogram, type ValueGroup } from "./show/distribution.js";
export { everyPerson } from "./show/every-person.js";
export { figure } from "./show/figure.js";
export type { Drawing, Figure, FigureInput } from "./show/figure-record.js";
export type { FindingBase, FindingByEstimate, FindingByValue } from "./show/finding.js";
export { type FindingInput, finding } from "./show/finding.js";
export type {
  Finding,
  FindingCount,
  FindingSubject,
  LeaveOneOut,
  RecordedFinding,
  Reference,
  Source,
  UnansweredFinding,
} from "./show/finding-record.js";
export { findings } from "./show/findings.js";
export { type SummarisedFit, summaryText } from "./show/fit-summary.js";
export { type ForestPlotInput, type ForestRow, forestPlot } from "./show/forest.js";
export { glossary, type Term } from "./show/glossary.js";
export {
  type GroupLinesInput,
  groupLines,
  type LinedGroup,
  type LineSpan,
} from "./show/group-lines.js";
export type { Settings } from "./show/lesson-outputs.js";
export type { Plain } from "./show/look.js";
export { colours, type Mark, marks, type Role } from "./show/look.js";
export { type PairedArm, type PairedDotsInput, pairedDots } from "./show/people.js";
export type {
  BandLayer,
  DotsLayer,
  LabelsLayer,
  Layer,
  LineLayer,
  Panel,
  Picture,
  PictureAxis,
  PointHandle,
  RuleLayer,
  StrokesLayer,
  Tone,
} from "./show/picture.js";
export { pictureSvg } from "./show/picture-svg.js";
export {
  type ForceSpeedPlaneInput,
  forceSpeedPlane,
  type PlaneGroup,
  type SpeedForce,
} from "./show/plane.js";
export type { Plot, PointGroup, ReferenceLine, Scale } from "./show/plot.js";
export { prose } from "./show/prose.js";
export { question } from "./show/question.js";
export { type RangeRow, type RangeRowsInput, rangeRows } from "./show/ranges.js";
export type { AgreementPlotInput } from "./show/relation.js";
export {
  agreementPlot,
  type FittedScatterInput,
  fittedScatter,
  type LinePoint,
} from "./show/relation.js";
export { type PersonLine, type SlopePlotInput, slopePlot } from "./show/slope-plot.js";
export { type SpecificationPlotInput, specificationPlot } from "./show/specification.js";
export { type StaleCell, staleCells } from "./show/stale-cells.js";
export type { TableRows } from "./show/table.js";
export { type TableInput, table } from "./show/table.js";
export type { Table, TableColumn, TableRow, TableValue } from "./show/table-record.js";
export { termFor, terms } from "./show/terms.js";
export type { Prose, Question, QuestionOption, Terms } from "./show/word-outputs.js";
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
export type { Estimate, Interval, Labels, Numbers } from "./stats/estimate.js";
export type { Leaving, LeftOut } from "./stats/leave-one-out.js";
export type { Choice, Specification } from "./stats/specification.js";
export type { RepeatedValue } from "./stats/two-way-error.js";
export type { CalibrationLine } from "./study/check/calibration.js";
export type { AccountLine, Issue, IssueCode, SetAside, Severity } from "./study/check/issue.js";
export { type SmallCell, type SmallCells, smallCells } from "./study/check/small-cells.js";
export type { FileFault, StudyFiles } from "./study/files.js";
export {
  type NormBand,
  type NormPerson,
  type NormPlace,
  type NormTable,
  normPercentile,
  publishedMedian,
} from "./study/norms.js";
export { type InspectOptions, inspectStudy, readStudy } from "./study/open.js";
export {
  type CoverageLine,
  type CoverageTable,
  coverageTable,
} from "./study/package/coverage-table.js";
export type {
  Arm,
  Occasion,
  PlanChange,
  Position,
  PrimaryPlan,
  StudyDesign,
  StudyPlan,
} from "./study/package/design.js";
export type { Json } from "./study/package/json.js";
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
export type { Inspection, Study } from "./study/study.js";
export {
  type BeforeAfter,
  type BeforeAfterOptions,
  beforeAfter,
} from "./study/tables/before-after.js";
export { type DataFrame, toFrame } from "./study/tables/frame.js";
export { type GripInSwing, gripInSwing, type HandInSwing } from "./study/tables/grip-in-swing.js";
export { type GripWithSpeed, gripWithSpeed } from "./study/tables/grip-with-speed.js";
export {
  leaveParticipantsOut,
  type ParticipantsLeftOut,
} from "./study/tables/leave-participants-out.js";
export type { Missing } from "./study/tables/missing.js";
export { withoutOutlyingTrials } from "./study/tables/outlying.js";
export {
  type GripRule,
  gripRules,
  type RuleChoice,
  type SpeedRule,
  type SummaryRule,
  speedRules,
} from "./study/tables/rules.js";
export type { Where } from "./study/tables/selection.js";
export { type SourceOptions, sourceOf } from "./study/tables/source.js";
export type { SourceRecord } from "./study/tables/source-record.js";
export type { AnyRow, CellValue, StudyTable, TypedRows } from "./study/tables/study-table.js";
export { type SummaryOptions, summariseGrip, summariseSpeed } from "./study/tables/summary.js";
export type {
  CalibrationRow,
  ForceRow,
  GripSummaryRow,
  GripTrialRow,
  Hand,
  LeftOutBy,
  ParticipantRow,
  RecordedTrial,
  Side,
  SpeedSummaryRow,
  SummaryRow,
  SwingGripRow,
  SwingTrialRow,
  TrainingRow,
  TrialRow,
  TrialStatus,
} from "./study/tables/table-rows.js";
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
export { withSetAsides } from "./study/tables/variants.js";
