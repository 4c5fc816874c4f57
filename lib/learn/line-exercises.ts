import { itemAt, present } from "../entry.js";
import { studentT } from "../num/distributions.js";
import { mean } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { correlation } from "../stats/correlation.js";
import { fitLinear } from "../stats/linear-model.js";
import { predictLine } from "../stats/prediction.js";
import { fitLine } from "../stats/regression.js";
import { convert } from "../units/convert.js";
import { task } from "./solution.js";

function columns({ columns: { grip, speed } }: Practice) {
  return { grip: present(grip), speed: present(speed) };
}

/** Speed in m/s for one mph: what an answer in the wrong unit is off by. */
const mpsOfMph = convert(1, "mph", "m/s");

function slope(golfers: Practice) {
  const { grip, speed } = columns(golfers);
  const fit = fitLine({ x: grip, y: speed });
  const { value } = fit.slope;
  const turned = fitLine({ x: speed, y: grip }).slope.value;
  const through = fitLinear({ y: speed, terms: { grip } }, { intercept: false });
  const [meanGrip, meanSpeed] = [mean(grip), mean(speed)];
  const products = grip.reduce(
    (sum, one, i) => sum + (one - meanGrip) * (itemAt(speed, i) - meanSpeed),
    0,
  );
  const squares = grip.reduce((sum, one) => sum + (one - meanGrip) ** 2, 0);
  return {
    value,
    unit: "mph per kgf",
    digits: 2,
    slips: {
      sign: -value,
      turned,
      turnedOver: 1 / turned,
      correlation: correlation(grip, speed).value,
      throughZero: present(through.coefficients.grip).value,
      metric: value * mpsOfMph,
    },
    facts: { meanGrip, meanSpeed, products, squares },
  };
}

function residual(golfers: Practice) {
  const { grip, speed } = columns(golfers);
  const fit = fitLine({ x: grip, y: speed });
  const value = itemAt(fit.residuals, 2);
  const measured = itemAt(speed, 2);
  return {
    value,
    unit: "mph",
    digits: 1,
    slips: {
      sign: -value,
      fromMean: measured - mean(speed),
      fitted: measured - value,
      metric: value * mpsOfMph,
    },
    facts: {
      grip: itemAt(grip, 2),
      measured,
      fitted: measured - value,
      intercept: fit.intercept.value,
      slope: fit.slope.value,
    },
  };
}

function single(golfers: Practice) {
  const { grip, speed } = columns(golfers);
  const fit = fitLine({ x: grip, y: speed });
  const at = present(predictLine(fit, [mean(grip)])[0]);
  const half = ({ low, high }: { low: number; high: number }) => (high - low) / 2;
  const value = half(at.single);
  const { n } = fit;
  const t = (df: number) => studentT(df).quantile(0.975);
  return {
    value,
    unit: "mph",
    digits: 1,
    slips: {
      ofMean: half(at.mean),
      whole: 2 * value,
      dfOneMore: (value * t(n - 1)) / t(n - 2),
      normal: (value * 1.959964) / t(n - 2),
      lineKnown: value / Math.sqrt(1 + 1 / n),
    },
    facts: { t: t(n - 2), residualSd: fit.residualSd, n, atMean: half(at.mean) },
  };
}

export const lineTasks = {
  "line-slope": task(2, "golfers", slope),
  "line-residual": task(2, "golfers", residual),
  "line-one-golfer": task(2, "golfers", single),
};
