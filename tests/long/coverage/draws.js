/**
 * Invented studies with a known truth, under conditions that intervals and tests meet in practice.
 * Errors have mean 0 and SD 1 before they are scaled.
 */

export const conditions = [
  "normal",
  "t5",
  "skewed",
  "unequal spread",
  "serial",
  "missing at random",
];

/** Autocorrelation of the errors of one person from one visit or row to the next. */
export const RHO = 0.6;

/** One error: normal; t with 5 degrees of freedom; or exponential (skewness 2). */
export function noise(stream, condition) {
  if (condition === "skewed") return -Math.log(1 - stream.uniform()) - 1;
  const z = stream.normal();
  if (condition !== "t5") return z;
  let squares = 0;
  for (let i = 0; i < 5; i++) squares += stream.normal() ** 2;
  return (z / Math.sqrt(squares / 5)) * Math.sqrt(3 / 5);
}

/** Errors of one person in order: independent, or of first order when the condition is serial. */
export function errors(stream, condition, count) {
  const list = [];
  for (let i = 0; i < count; i++) {
    const own = noise(stream, condition);
    const before = list[i - 1];
    const serial = condition === "serial" && before !== undefined;
    list.push(serial ? RHO * before + Math.sqrt(1 - RHO * RHO) * own : own);
  }
  return list;
}

/** Grip before and after, kgf: people differ with SD 8, measurements err with SD 2; change 2. */
export function pairs(stream, n, condition, { change = 2 } = {}) {
  const before = [];
  const after = [];
  for (let i = 0; i < n; i++) {
    const level = 45 + 8 * stream.normal();
    const spread = condition === "unequal spread" ? (i % 2 ? 0.6 : 2) : 1;
    const first = level + 2 * spread * noise(stream, condition);
    const second = level + change + 2 * spread * noise(stream, condition);
    if (gone(stream, condition, first, 45)) continue;
    before.push(first);
    after.push(second);
  }
  return { before, after };
}

/** Whether a person leaves: likelier with a low value, when that is the condition. */
function gone(stream, condition, value, median) {
  return condition === "missing at random" && stream.uniform() < (value < median ? 0.4 : 0.05);
}

/** Two arms of n people in all; the second is the smaller and, with unequal spread, the wider one. */
export function twoGroups(stream, n, condition, { difference = 3 } = {}) {
  const first = Math.ceil(n / 2);
  const wide = condition === "unequal spread" ? 2.5 : 1;
  const draw = (count, mean, sd) =>
    Array.from({ length: count }, () => mean + sd * noise(stream, condition));
  return { a: draw(first, difference, 4), b: draw(n - first, 0, 4 * wide) };
}

/** Two arms before and after; the trained arm gains `effect`. */
export function arms(stream, n, condition, { effect = 2 } = {}) {
  const columns = { before: [], after: [], group: [] };
  for (let i = 0; i < n; i++) {
    const trained = i % 2;
    const level = 45 + 8 * stream.normal();
    const wide = condition === "unequal spread" && trained ? 2.5 : 1;
    const first = level + 3 * noise(stream, condition);
    const second = level + effect * trained + 3 * wide * noise(stream, condition);
    if (gone(stream, condition, first, 45)) continue;
    columns.before.push(first);
    columns.after.push(second);
    columns.group.push(trained ? "grip" : "control");
  }
  return { ...columns, reference: "control" };
}

/** Two arms at three visits; the trained arm has gained `effect` at the last. */
export function visits(stream, n, condition, { effect = 2 } = {}) {
  const columns = { subject: [], visit: [], arm: [], y: [] };
  for (let i = 0; i < n; i++) {
    const trained = i % 2;
    const level = 45 + 8 * stream.normal();
    const list = errors(stream, condition, 3);
    for (let visit = 0; visit < 3; visit++) {
      const wide = condition === "unequal spread" ? [0.6, 1, 2][visit] : 1;
      const y = level + (trained * effect * visit) / 2 + 3 * wide * list[visit];
      columns.subject.push(`G${i}`);
      columns.visit.push(visit);
      columns.arm.push(trained ? "grip" : "control");
      columns.y.push(y);
      if (visit < 2 && gone(stream, condition, y, 45)) break;
    }
  }
  return columns;
}

/** n rows about a line of slope 0.5, independent people; unequal spread grows along x. */
export function line(stream, n, condition, { slope = 0.5 } = {}) {
  const x = Array.from({ length: n }, () => 10 * stream.uniform()).sort((a, b) => a - b);
  const list = errors(stream, condition, n);
  const spread = (at) => (condition === "unequal spread" ? 0.3 + at / 5 : 1);
  return { x, y: x.map((at, i) => 1 + slope * at + 2 * spread(at) * list[i]) };
}

/** n golfers, six rows each, with a level and (SD 0.3) a slope of their own. */
export function repeated(stream, n, condition, { slope = 0.5, slopeSd = 0.3 } = {}) {
  const columns = { subject: [], x: [], y: [] };
  for (let i = 0; i < n; i++) {
    const level = 40 + 6 * stream.normal();
    const own = slope + slopeSd * stream.normal();
    const list = errors(stream, condition, 6);
    for (let row = 0; row < 6; row++) {
      const spread = condition === "unequal spread" ? (i % 2 ? 0.6 : 2) : 1;
      const y = level + own * row + 2 * spread * list[row];
      columns.subject.push(`G${i}`);
      columns.x.push(row);
      columns.y.push(y);
      if (row > 1 && row < 5 && gone(stream, condition, y, 40)) break;
    }
  }
  return columns;
}

/** n people by three trials; typical error 2. */
export function trialTable(stream, n, condition) {
  return Array.from({ length: n }, (_, i) => {
    const level = 45 + 8 * stream.normal();
    const spread = condition === "unequal spread" ? (i % 2 ? 0.6 : Math.sqrt(2 - 0.36)) : 1;
    return errors(stream, condition, 3).map((e, trial) => level + trial * 0.5 + 2 * spread * e);
  });
}

/** n pairs with correlation ρ. */
export function related(stream, n, condition, rho) {
  const x = Array.from({ length: n }, () => stream.normal());
  const y = x.map((value) => {
    const spread = condition === "unequal spread" ? 0.5 + Math.abs(value) : 1;
    return rho * value + Math.sqrt(1 - rho * rho) * spread * noise(stream, condition);
  });
  return { x, y };
}

/** n studies with standard errors from 0.3 to 1 and SD 0.5 between their true effects, mean 1. */
export function studies(stream, n, condition, { effect = 1 } = {}) {
  const se = Array.from({ length: n }, () => 0.3 + 0.7 * stream.uniform());
  const estimate = se.map((own) => effect + 0.5 * noise(stream, condition) + own * stream.normal());
  return { estimate, se };
}

/** n studies of two or three results each: SD 0.4 between studies and 0.3 within them, mean 1. */
export function nestedStudies(stream, n, condition, { effect = 1 } = {}) {
  const columns = { estimate: [], se: [], study: [] };
  for (let i = 0; i < n; i++) {
    const own = effect + 0.4 * noise(stream, condition);
    for (let result = 0; result < 2 + (i % 2); result++) {
      const se = 0.3 + 0.7 * stream.uniform();
      columns.estimate.push(own + 0.3 * noise(stream, condition) + se * stream.normal());
      columns.se.push(se);
      columns.study.push(`study ${i}`);
    }
  }
  return columns;
}
