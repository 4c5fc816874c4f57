/**
 * Statistics with their intervals: plain columns in, frozen records out.
 * @module tautline/stats
 */

export * from "../errors.js";
export type { Distribution } from "../num/distributions.js";
export { chiSquared, fisherF, noncentralT, normal, studentT } from "../num/distributions.js";
export type { RandomStream } from "../num/random.js";
export { randomStream } from "../num/random.js";
export { studentisedRange } from "../num/studentised-range.js";
export type { TermFit } from "../stats/adjusted-means.js";
export {
  type AdjustedMeansOptions,
  adjustedMeans,
  type PairAdjustment,
  type PairDifference,
  type PairwiseOptions,
  pairwise,
} from "../stats/adjusted-means.js";
export { type Agreement, agreement, type LimitIntervals } from "../stats/agreement.js";
export { type AllometricExponent, allometricExponent } from "../stats/allometry.js";
export {
  type ApparentResponders,
  apparentResponders,
  type ResponderWorld,
} from "../stats/apparent-responders.js";
export {
  type ArmEffects,
  armEffects,
  type EffectChoice,
  effectChoices,
  effectCombinations,
} from "../stats/arm-effect.js";
export { type Attenuation, attenuation } from "../stats/attenuation.js";
export {
  type AdjustedGroup,
  adjustForBaseline,
  type BaselineAdjustment,
  type BaselineColumns,
  type BaselineOptions,
} from "../stats/baseline.js";
export {
  type BaselineRelation,
  type BaselineRelationOptions,
  baselineRelation,
  type SelectionGain,
  selectionGain,
} from "../stats/baseline-relation.js";
export type { BootstrapEstimate } from "../stats/bootstrap/bootstrap.js";
export { type Bootstrap, type BootstrapOptions, bootstrap } from "../stats/bootstrap/bootstrap.js";
export type { Statistic } from "../stats/bootstrap/draws.js";
export { type Jackknife, jackknife } from "../stats/bootstrap/jackknife.js";
export type { BootstrapMethod } from "../stats/bootstrap/limits.js";
export { type PairedChange, pairedChange } from "../stats/change.js";
export type { ClusterShares } from "../stats/cluster-errors.js";
export { compareFits, type FitComparison, type LikelihoodFit } from "../stats/compare-fits.js";
export type { PRange } from "../stats/consistency.js";
export {
  type CorrelationCheck,
  checkCorrelation,
  criticalCorrelation,
  type GainReview,
  reviewGains,
} from "../stats/consistency.js";
export { type ContrastOptions, contrast, type JointTest, jointTest } from "../stats/contrast.js";
export type { TestedCorrelation } from "../stats/correlation.js";
export {
  type Correlation,
  type CorrelationKind,
  type CorrelationOptions,
  correlation,
} from "../stats/correlation.js";
export type { DemingOptions } from "../stats/deming.js";
export { type DemingLine, fitDeming } from "../stats/deming.js";
export {
  type Description,
  describe,
  type QuantileDefinition,
  quantile,
  serialCorrelation,
} from "../stats/describe.js";
export { type DoseRelation, doseRelation } from "../stats/dose.js";
export { hedgesFactor } from "../stats/effect.js";
export {
  type ChanceAbove,
  chanceAbove,
  type Equivalence,
  type EquivalenceOptions,
  equivalence,
} from "../stats/equivalence.js";
export type { Estimate, Interval, Labels, Numbers } from "../stats/estimate.js";
export { correlationOfZ, fisherZ } from "../stats/fisher.js";
export type { Fit } from "../stats/fit.js";
export type { DfChoice, FitWithEffects } from "../stats/fit-effects.js";
export { compareGroups, type GroupComparison } from "../stats/groups.js";
export type { RobustReport } from "../stats/huber.js";
export {
  fitRobust,
  fitRobustLinear,
  type RobustLine,
  type RobustLinear,
  type RobustOptions,
} from "../stats/huber.js";
export { type Icc, type IccForm, icc } from "../stats/icc.js";
export {
  type IndividualResponse,
  individualResponse,
} from "../stats/individual-response.js";
export { type Influence, influence, type RowInfluence } from "../stats/influence.js";
export {
  type EffectAt,
  type EffectByTrait,
  effectByTrait,
  type TraitColumns,
} from "../stats/interaction.js";
export {
  type LeaveOneOutResult,
  type Leaving,
  type LeftOut,
  leaveOneOut,
} from "../stats/leave-one-out.js";
export {
  type FTest,
  fitLinear,
  type LinearColumns,
  type LinearFit,
  type LinearOptions,
} from "../stats/linear-model.js";
export {
  type ComponentColumns,
  type ComponentOptions,
  fitVarianceComponents,
  type VarianceComponent,
  type VarianceComponentsFit,
} from "../stats/mixed/components.js";
export {
  type DropoutShift,
  type ShiftedDropouts,
  shiftDropouts,
} from "../stats/mixed/dropout-shift.js";
export type { DfMethod } from "../stats/mixed/fixed-estimate.js";
export {
  type ComponentSize,
  type Generalisability,
  type GeneralisabilityDesign,
  generalisability,
} from "../stats/mixed/generalisability.js";
export type {
  FixedInference,
  MatrixRows,
  NamedMatrix,
  VarianceFit,
  VarianceUncertainty,
} from "../stats/mixed/inference.js";
export {
  fitMixed,
  type MixedColumns,
  type MixedFit,
  type MixedModel,
  type MixedOptions,
} from "../stats/mixed/mixed.js";
export type { RandomSpread, SubjectLine } from "../stats/mixed/mixed-summary.js";
export type { ModelFit } from "../stats/mixed/model-fit.js";
export {
  bootstrapMixed,
  type MixedBootstrap,
  type MixedBootstrapOptions,
} from "../stats/mixed/parametric-bootstrap.js";
export { type MixedProfile, profileMixed } from "../stats/mixed/profile-likelihood.js";
export type { VisitCovariance } from "../stats/mixed/visit-covariance.js";
export type { LabelColumn, VisitColumns } from "../stats/mixed/visit-rows.js";
export {
  type ByVisitAndArm,
  fitVisits,
  type VisitOptions,
  type VisitsFit,
} from "../stats/mixed/visits.js";
export { type Adjustment, adjustP } from "../stats/multiplicity.js";
export { type Normality, normality } from "../stats/normality.js";
export {
  type PairedBayesOptions,
  type PairedChangeBayes,
  pairedChangeBayes,
} from "../stats/paired-bayes.js";
export { fitPassingBablok, type PassingBablokLine } from "../stats/passing-bablok.js";
export {
  type AdjustedPercent,
  adjustedPercent,
  type PercentDifference,
  percentDifference,
} from "../stats/percent.js";
export { type SignFlip, signFlip } from "../stats/permutation.js";
export { type PermutedAdjustment, permuteAdjusted } from "../stats/permute-adjusted.js";
export {
  type PermutationOptions,
  type PermutationTest,
  type PermutedDifference,
  permuteDifference,
} from "../stats/permute-groups.js";
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
} from "../stats/plan.js";
export { type AncovaDesign, type AncovaPlan, planAncova } from "../stats/plan-ancova.js";
export {
  planBySimulation,
  type SimulatedDesign,
  type SimulatedPower,
  type SimulationPlanInput,
} from "../stats/plan-by-simulation.js";
export {
  type CorrelationDesign,
  type CorrelationPlan,
  planCorrelation,
  powerCorrelation,
} from "../stats/plan-correlation.js";
export {
  type EquivalenceDesign,
  type EquivalencePlan,
  planEquivalence,
  powerEquivalence,
} from "../stats/plan-equivalence.js";
export { designEffect, planRetest, type RetestPlan } from "../stats/plan-retest.js";
export {
  type Pool,
  type PoolColumns,
  type PooledStudy,
  type PoolOptions,
  pool,
} from "../stats/pool/pool.js";
export {
  type PoolBayes,
  type PoolBayesOptions,
  poolBayes,
  type TauPrior,
} from "../stats/pool/pool-bayes.js";
export {
  type CorrelationColumns,
  type CorrelationPool,
  poolCorrelations,
} from "../stats/pool/pool-correlations.js";
export {
  type PoolLeavingOneOut,
  type PoolWithoutStudy,
  poolLeavingOneOut,
} from "../stats/pool/pool-leaving-one-out.js";
export { type PoolNested, type PoolNestedColumns, poolNested } from "../stats/pool/pool-nested.js";
export {
  type PoolPeople,
  type PoolPeopleColumns,
  type PoolPeopleOptions,
  poolPeople,
} from "../stats/pool/pool-people.js";
export {
  type PoolRegression,
  type PoolRegressionColumns,
  type PoolRegressionOptions,
  poolRegression,
  type RegressedStudy,
} from "../stats/pool/pool-regression.js";
export {
  type SmallStudyOptions,
  type SmallStudyTest,
  smallStudyTest,
} from "../stats/pool/small-study.js";
export type { Posterior } from "../stats/posterior.js";
export { type Prediction, predictLine } from "../stats/prediction.js";
export {
  type LineReading,
  type PublishedLine,
  readPublishedLine,
} from "../stats/published-line.js";
export { type QuantileLine, quantileLine } from "../stats/quantile-line.js";
export { compareRanks, type RankComparison } from "../stats/rank-sum.js";
export { type FitOptions, fitLine, type LineColumns, type LineFit } from "../stats/regression.js";
export { type Reliability, reliability } from "../stats/reliability.js";
export {
  type RepeatedMeasuresCorrelation,
  repeatedMeasuresCorrelation,
} from "../stats/repeated-correlation.js";
export {
  type ErrorByTrials,
  errorByTrials,
  type RepeatsRow,
  spearmanBrown,
} from "../stats/repeats.js";
export {
  type Responder,
  type RespondersOptions,
  responders,
  type SmallestWorthwhile,
  smallestWorthwhile,
  type WorthwhileOptions,
} from "../stats/responders.js";
export type { ClusterErrors, StandardErrors } from "../stats/robust.js";
export { type SignedRank, signedRank, type ZeroChanges } from "../stats/signed-rank.js";
export { type SubjectSlope, type SubjectSlopes, subjectSlopes } from "../stats/slopes.js";
export {
  type GroupLine,
  type Reversal,
  type SlopesByGroup,
  slopesByGroup,
} from "../stats/slopes-by-group.js";
export type {
  SpecificationInput,
  SpecificationOptions,
  SpecifiedColumns,
} from "../stats/specification.js";
export {
  type Choice,
  type Specification,
  type SpecificationCurve,
  specificationCurve,
} from "../stats/specification.js";
export { type ChoiceLine, summariseSpecifications } from "../stats/specification-summary.js";
export { fitSpline, predictSpline, type SplineFit, type SplineOptions } from "../stats/spline.js";
export type { ModelTerm, ModelTerms, TermColumn, TermOptions } from "../stats/terms.js";
export { type TheilSenLine, theilSen } from "../stats/theil-sen.js";
export type { MeanSquares } from "../stats/trials.js";
export { type OneWayAnova, oneWayAnova, type VarianceLine } from "../stats/variance.js";
export { splitWithinBetween, type WithinBetween } from "../stats/within-between.js";
