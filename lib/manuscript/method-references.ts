/** A published source that the manuscript cites. */
export interface MethodReference {
  /** Name that a citation uses. */
  readonly key: string;
  /** Authors, year, title, journal, volume, pages. */
  readonly text: string;
  /** Digital object identifier; left out where there is none. */
  readonly doi?: string | undefined;
  /** Which method phrases of findings rest on it; left out where only the text itself cites it. */
  readonly method?: RegExp | undefined;
}

/**
 * The sources of the methods that findings name, in alphabetical order. The identifiers were looked
 * up in the works themselves or in public texts that cite them.
 */
export const methodReferences: readonly MethodReference[] = [
  {
    key: "bonett-wright",
    text: "Bonett DG, Wright TA (2000) Sample size requirements for estimating Pearson, Kendall and Spearman correlations. Psychometrika 65:23–28",
    doi: "10.1007/BF02294183",
    method: /Bonett/,
  },
  {
    key: "agreement",
    text: "Bland JM, Altman DG (1986) Statistical methods for assessing agreement between two methods of clinical measurement. Lancet 327:307–310",
    doi: "10.1016/S0140-6736(86)90837-8",
    method: /limits of agreement/i,
  },
  {
    key: "ancova",
    text: "Vickers AJ, Altman DG (2001) Analysing controlled trials with baseline and follow up measurements. BMJ 323:1123–1124",
    doi: "10.1136/bmj.323.7321.1123",
    method: /analysis of covariance|adjusted for baseline/i,
  },
  {
    key: "bca",
    text: "Efron B (1987) Better bootstrap confidence intervals. J Am Stat Assoc 82:171–185",
    doi: "10.1080/01621459.1987.10478410",
    method: /\bBCa\b/,
  },
  {
    key: "cert",
    text: "Slade SC, Dionne CE, Underwood M, Buchbinder R (2016) Consensus on Exercise Reporting Template (CERT): explanation and elaboration statement. Br J Sports Med 50:1428–1437",
    doi: "10.1136/bjsports-2016-096651",
  },
  {
    key: "consort",
    text: "Hopewell S, Chan AW, Collins GS, et al. (2025) CONSORT 2025 statement: updated guideline for reporting randomised trials. PLoS Med 22(4):e1004587",
    doi: "10.1371/journal.pmed.1004587",
  },
  {
    key: "equivalence",
    text: "Schuirmann DJ (1987) A comparison of the two one-sided tests procedure and the power approach for assessing the equivalence of average bioavailability. J Pharmacokinet Biopharm 15:657–680",
    doi: "10.1007/BF01068419",
    method: /equivalen|one-sided tests/i,
  },
  {
    key: "fisher-z",
    text: "Fisher RA (1915) Frequency distribution of the values of the correlation coefficient in samples from an indefinitely large population. Biometrika 10:507–521",
    doi: "10.1093/biomet/10.4.507",
    method: /Fisher z/i,
  },
  {
    key: "fuller",
    text: "Fuller WA (1987) Measurement error models. Wiley, New York",
    doi: "10.1002/9780470316665",
    method: /Fuller|known error variance/i,
  },
  {
    key: "hartung-knapp",
    text: "Knapp G, Hartung J (2003) Improved tests for a random effects meta-regression with a single covariate. Stat Med 22:2693–2710",
    doi: "10.1002/sim.1482",
    method: /Hartung/,
  },
  {
    key: "hedges",
    text: "Hedges LV (1981) Distribution theory for Glass's estimator of effect size and related estimators. J Educ Stat 6:107–128",
    doi: "10.3102/10769986006002107",
    method: /Hedges|non-central t, (?:equal|dAv)/i,
  },
  {
    key: "holm",
    text: "Holm S (1979) A simple sequentially rejective multiple test procedure. Scand J Stat 6:65–70",
    method: /\bHolm\b/,
  },
  {
    key: "kenward-roger",
    text: "Kenward MG, Roger JH (1997) Small sample inference for fixed effects from restricted maximum likelihood. Biometrics 53:983–997",
    doi: "10.2307/2533558",
    method: /Kenward/,
  },
  {
    key: "mover",
    text: "Zou GY, Donner A (2008) Construction of confidence limits about effect measures: a general approach. Stat Med 27:1693–1702",
    doi: "10.1002/sim.3095",
    method: /MOVER|difference of the variances of change/,
  },
  {
    key: "reliability",
    text: "Hopkins WG (2000) Measures of reliability in sports medicine and science. Sports Med 30:1–15",
    doi: "10.2165/00007256-200030010-00001",
    method: /typical error|error mean square|retest/i,
  },
  {
    key: "reml",
    text: "Patterson HD, Thompson R (1971) Recovery of inter-block information when block sizes are unequal. Biometrika 58:545–554",
    doi: "10.1093/biomet/58.3.545",
    method: /\bREML\b/,
  },
  {
    key: "repeated-correlation",
    text: "Bland JM, Altman DG (1995) Calculating correlation coefficients with repeated observations: part 1, correlation within subjects. BMJ 310:446",
    doi: "10.1136/bmj.310.6977.446",
    method: /Bland & Altman 1995/,
  },
  {
    key: "satterthwaite",
    text: "Satterthwaite FE (1946) An approximate distribution of estimates of variance components. Biometrics Bull 2:110–114",
    doi: "10.2307/3002019",
    method: /Satterthwaite/,
  },
  {
    key: "shrout-fleiss",
    text: "Shrout PE, Fleiss JL (1979) Intraclass correlations: uses in assessing rater reliability. Psychol Bull 86:420–428",
    doi: "10.1037/0033-2909.86.2.420",
    method: /\bICC\b|two-way analysis of variance/i,
  },
  {
    key: "specifications",
    text: "Simonsohn U, Simmons JP, Nelson LD (2020) Specification curve analysis. Nat Hum Behav 4:1208–1214",
    doi: "10.1038/s41562-020-0912-z",
    method: /specification/i,
  },
  {
    key: "student",
    text: "Student (1908) The probable error of a mean. Biometrika 6:1–25",
    doi: "10.1093/biomet/6.1.1",
    method: /paired t\b/i,
  },
  {
    key: "theil-sen",
    text: "Sen PK (1968) Estimates of the regression coefficient based on Kendall's tau. J Am Stat Assoc 63:1379–1389",
    doi: "10.1080/01621459.1968.10480934",
    method: /Theil/,
  },
  {
    key: "welch",
    text: "Welch BL (1947) The generalization of ‘Student's’ problem when several different population variances are involved. Biometrika 34:28–35",
    doi: "10.1093/biomet/34.1-2.28",
    method: /Welch/,
  },
  {
    key: "wilcoxon",
    text: "Wilcoxon F (1945) Individual comparisons by ranking methods. Biometrics Bull 1:80–83",
    doi: "10.2307/3001968",
    method: /Wilcoxon|signed.rank|rank.sum/i,
  },
];

/** The sources of one method phrase, by the names that citations use. */
export function sourcesOf(method: string): string[] {
  return methodReferences.flatMap(({ key, method: names }) => (names?.test(method) ? [key] : []));
}

/** A reference as the list shows it. */
export function referenceText({ text, doi }: MethodReference): string {
  return doi === undefined ? `${text}.` : `${text}. doi:${doi}`;
}
