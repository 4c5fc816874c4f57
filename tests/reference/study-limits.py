"""Makes study-limits.json: intervals, groups and ranges without each golfer, from the CSV files.

Run with Python 3, numpy and scipy (Debian: python3-numpy, python3-scipy):
    python3 tests/reference/study-limits.py > tests/reference/study-limits.json

The values of the golfers are those of study-questions.py. Every golfer is left out by fitting again.
"""

import io
import json
import runpy
from contextlib import redirect_stdout
from pathlib import Path

import numpy as np
from scipy import optimize, special, stats

with redirect_stdout(io.StringIO()):
    base = runpy.run_path(str(Path(__file__).with_name("study-questions.py")))
people, mean3, to_kgf = base["people"], base["mean3"], base["to_kgf"]
lead = {code: "left" if row["plays"] == "right" else "right" for code, row in people.items()}
both, start, end, in_grip = base["both"], base["start"], base["end"], base["in_grip"] == 1
left_out, plain = base["left_out"], base["plain"]
nine = base["nine"]
out = {"source": "numpy and scipy from the CSV files; see study-limits.py"}
t975 = lambda df: stats.t.ppf(0.975, df)


def fitted(y, columns, weights):
    """A weighted sum of coefficients with its t interval."""
    x = np.column_stack(columns)
    b = np.linalg.lstsq(x, y, rcond=None)[0]
    df = len(y) - x.shape[1]
    e = y - x @ b
    w = np.array(weights, float)
    value, se = w @ b, np.sqrt(e @ e / df * (w @ np.linalg.inv(x.T @ x) @ w))
    return {"value": value, "low": value - t975(df) * se, "high": value + t975(df) * se, "p": 2 * stats.t.sf(abs(value / se), df)}


# The arms at every hand and position: analysis of covariance of the mean of three trials.
trials = {}
names = ("participant", "occasion", "hand", "position")
aside = {(*(row[name] for name in names), row["number"]) for row in base["rows"](base["study"] / "set-aside.csv")}
for row in base["rows"](base["study"] / "grip-trials.csv"):
    if row["status"] == "valid" and (*(row[name] for name in names), row["trial"]) not in aside:
        hand = "lead" if row["hand"] == lead[row["participant"]] else "trail"
        key = (f"{hand}-{row['position']}", row["participant"], row["occasion"])
        trials.setdefault(key, {})[int(row["trial"])] = float(row["force"]) * to_kgf[row["unit"]]
mean_of = {key: np.mean([own[k] for k in sorted(own)[:3]]) for key, own in trials.items()}
out["places"] = {}
for place in sorted({key[0] for key in trials}):
    seen = [c for c in people if all((place, c, visit) in mean_of for visit in ("w0", "w6"))]
    x, y = (np.array([mean_of[place, c, visit] for c in seen]) for visit in ("w0", "w6"))
    arm = np.array([float(people[c]["arm"] == "grip") for c in seen])
    effect = lambda k: fitted(y[k], [np.ones(k.sum()), arm[k], x[k]], [0, 1, 0])
    out["places"][place] = {
        **effect(np.ones(len(seen), bool)),
        "leaveOneOut": left_out(len(seen), lambda k: effect(k)["value"]),
    }

# The effect among women and among men, one slope on the value before.
male = np.array([float(people[c]["sex"] == "male") for c in both])
arm = in_grip.astype(float)


def of_sex(k, weights):
    found = fitted(end[k], [np.ones(k.sum()), arm[k], male[k], arm[k] * male[k], start[k]], weights)
    return {name: found[name] for name in ("value", "low", "high")}


everybody = np.ones(len(both), bool)
out["sexes"] = {
    "female": of_sex(everybody, [0, 1, 0, 0, 0]),
    "male": of_sex(everybody, [0, 1, 0, 1, 0]),
    "interaction": {
        **of_sex(everybody, [0, 0, 0, 1, 0]),
        "leaveOneOut": left_out(len(both), lambda k: of_sex(k, [0, 0, 0, 1, 0])["value"]),
    },
}

# Change on the value before, corrected for error as Blomqvist (1977) does; error of the control arm.
retest = base["out"]["retestError"]


def blomqvist(k):
    x, change = start[k], (end - start)[k]
    line = stats.linregress(x, change)
    share = retest["value"] ** 2 / np.var(x, ddof=1)
    spread = share**2 * (2 / (len(x) - 1) + 2 / retest["df"])
    value = (line.slope + share) / (1 - share)
    se = np.sqrt((line.stderr / (1 - share)) ** 2 + ((1 + line.slope) / (1 - share) ** 2) ** 2 * spread)
    half = t975(len(x) - 2) * se
    return {"value": value, "low": value - half, "high": value + half}


out["onBaseline"] = {
    **blomqvist(everybody),
    "leaveOneOut": left_out(len(both), lambda k: blomqvist(k)["value"]),
}

# Lines of speed on grip with a known error of grip (Fuller 1987, equations 1.2.3 and 1.2.8).
together = [c for c in people if (c, "w0") in mean3 and (c, "w0") in base["speed"]]
x, y = (np.array([of[c, "w0"] for c in together]) for of in (mean3, base["speed"]))


def fuller(k):
    u, v, n = x[k], y[k], k.sum()
    error = retest["value"] ** 2
    m = np.cov(u, v)
    slope = m[0, 1] / (m[0, 0] - error)
    scatter = np.sum((v - v.mean() - slope * (u - u.mean())) ** 2) / (n - 2)
    se = np.sqrt((m[0, 0] * scatter + slope**2 * error**2) / (n - 1)) / (m[0, 0] - error)
    half = t975(n - 2) * se
    return {"value": slope, "low": slope - half, "high": slope + half}


all_of = np.ones(len(x), bool)
out["corrected"] = {**fuller(all_of), "leaveOneOut": left_out(len(x), lambda k: fuller(k)["value"])}

# Every visit by restricted likelihood, unstructured covariance, one mean at the start.
visits = ("w0", "w3", "w6")
blocks = {}
for c in people:
    seen = tuple(i for i, visit in enumerate(visits) if (c, visit) in mean3)
    trained = people[c]["arm"] == "grip"
    blocks.setdefault((seen, trained), []).append([mean3[c, visits[i]] for i in seen])
sums = []
for (seen, trained), values in blocks.items():
    design = np.zeros((3, 5))
    design[:, 0] = 1
    for i in (1, 2):
        design[i, i], design[i, 2 + i] = 1, trained
    v = np.array(values)
    sums.append((list(seen), design[list(seen)], len(v), v.sum(axis=0), v.T @ v))


def restricted(theta):
    root = np.zeros((3, 3))
    root[np.tril_indices(3)] = theta
    sigma = root @ root.T
    a, g, s, logs = 0, 0, 0, 0
    for seen, d, count, total, squares in sums:
        part = sigma[np.ix_(seen, seen)]
        inverse = np.linalg.inv(part)
        a, g, s = a + count * d.T @ inverse @ d, g + d.T @ inverse @ total, s + np.sum(inverse * squares)
        logs += count * np.linalg.slogdet(part)[1]
    beta = np.linalg.solve(a, g)
    return logs + np.linalg.slogdet(a)[1] + s - g @ beta, beta


at = np.array([9.0, 9, 2, 9, 1, 2])
for _ in range(3):
    best = optimize.minimize(lambda th: restricted(th)[0], at, method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-11, "maxiter": 2500, "maxfev": 2500})
    at = best.x
_, beta = restricted(at)
out["visits"] = {
    "differences": {"w3": beta[3], "w6": beta[4]},
    "means": {"grip": [beta[0], beta[0] + beta[1] + beta[3], beta[0] + beta[2] + beta[4]],
              "swing": [beta[0], beta[0] + beta[1], beta[0] + beta[2]]},
}

# Three trials at the start: the forms of the ICC, the error of more trials, agreement of first and last.
table = np.array([[base["grip"][c, "w0"][k] for k in sorted(base["grip"][c, "w0"])[:3]] for c in people])
n, k = table.shape
grand = table.mean()
rows_ms = k * np.sum((table.mean(axis=1) - grand) ** 2) / (n - 1)
columns_ms = n * np.sum((table.mean(axis=0) - grand) ** 2) / (k - 1)
within_ms = np.sum((table - table.mean(axis=1)[:, None]) ** 2) / (n * (k - 1))
error_ms = (within_ms * n * (k - 1) - columns_ms * (k - 1)) / ((n - 1) * (k - 1))


def ratio_limits(ratio, df1, df2, lift):
    return [(f - 1) / (f + lift) for f in (ratio / stats.f.ppf(0.975, df1, df2), ratio * stats.f.ppf(0.975, df2, df1))]


def agreement_limits():
    """Shrout & Fleiss (1979), equation for ICC(2,1)."""
    value = (rows_ms - error_ms) / (rows_ms + (k - 1) * error_ms + k * (columns_ms - error_ms) / n)
    a, b = k * value / (n * (1 - value)), 1 + k * value * (n - 1) / (n * (1 - value))
    v = (a * columns_ms + b * error_ms) ** 2 / ((a * columns_ms) ** 2 / (k - 1) + (b * error_ms) ** 2 / ((n - 1) * (k - 1)))
    f1, f2 = stats.f.ppf(0.975, n - 1, v), stats.f.ppf(0.975, v, n - 1)
    common = k * columns_ms + (k * n - k - n) * error_ms
    return [value, n * (rows_ms - f1 * error_ms) / (f1 * common + n * rows_ms), n * (f2 * rows_ms - error_ms) / (common + n * f2 * rows_ms)]


of_mean = lambda one: [k * v / (1 + (k - 1) * v) for v in one]
one1 = [(rows_ms - within_ms) / (rows_ms + (k - 1) * within_ms), *ratio_limits(rows_ms / within_ms, n - 1, n * (k - 1), k - 1)]
one2 = agreement_limits()
one3 = [(rows_ms - error_ms) / (rows_ms + (k - 1) * error_ms), *ratio_limits(rows_ms / error_ms, n - 1, (n - 1) * (k - 1), k - 1)]
out["iccForms"] = [*(one1, one2, one3), *(of_mean(one) for one in (one1, one2, one3))]
out["errorOfMean"] = {count: np.sqrt(error_ms / count) for count in (1, 2, 3, 4, 5, 6, 8, 10)}
logs = np.log(table)
left = logs - logs.mean(axis=1)[:, None] - logs.mean(axis=0) + logs.mean()
log_ms, df = np.sum(left**2) / ((n - 1) * (k - 1)), (n - 1) * (k - 1)
out["cvPercent"] = [100 * np.expm1(np.sqrt(ms)) for ms in (log_ms, *(log_ms * df / stats.chi2.ppf(q, df) for q in (0.975, 0.025)))]
shift = table[:, -1] - table[:, 0]
out["shift"] = base["paired"](shift)
z = stats.norm.ppf(0.975)
shifts = [optimize.brentq(lambda g: stats.nct.cdf(g, n - 1, z * np.sqrt(n)) - q, 0, 60) / np.sqrt(n) for q in (0.025, 0.975)]
m, s = shift.mean(), shift.std(ddof=1)
half = t975(n - 1) * s / np.sqrt(n)
out["agreement"] = [
    [m, m - half, m + half],
    [m - z * s, m - shifts[1] * s, m - shifts[0] * s],
    [m + z * s, m + shifts[0] * s, m + shifts[1] * s],
]

# Standardised changes: Hedges' g with limits of the non-centrality (Steiger & Fouladi 1997).
hedges = lambda m: np.exp(special.gammaln(m / 2) - special.gammaln((m - 1) / 2)) / np.sqrt(m / 2)


def shift_limits(t, df):
    return [optimize.brentq(lambda nc: stats.nct.cdf(t, df, nc) - q, t - 10, t + 10) for q in (0.975, 0.025)]


change = end - start
a, b = change[in_grip], change[~in_grip]
df = len(a) + len(b) - 2
sd = np.sqrt(((len(a) - 1) * a.var(ddof=1) + (len(b) - 1) * b.var(ddof=1)) / df)
scale = np.sqrt(1 / len(a) + 1 / len(b))
t = (a.mean() - b.mean()) / (sd * scale)
out["hedgesG"] = [hedges(df) * v * scale for v in (t, *shift_limits(t, df))]

# Spread of the responses: difference of two variances, limits by MOVER (Zou & Donner 2008).
def mover():
    va, vb = a.var(ddof=1), b.var(ddof=1)
    (la, ua), (lb, ub) = ([(len(s) - 1) * s.var(ddof=1) / stats.chi2.ppf(q, len(s) - 1) for q in (0.975, 0.025)] for s in (a, b))
    return [va - vb, va - vb - np.hypot(va - la, ub - vb), va - vb + np.hypot(ua - va, vb - lb)]


out["response"] = mover()
out["responseWithout"] = left_out(len(change), lambda k: change[k & in_grip].var(ddof=1) - change[k & ~in_grip].var(ddof=1))

# Nine golfers against the control arm, and golfers needed, by the spread of the nine.
own = nine[:, 1] - nine[:, 0]
va, vb = own.var(ddof=1) / len(own), b.var(ddof=1) / len(b)
df = (va + vb) ** 2 / (va**2 / (len(own) - 1) + vb**2 / (len(b) - 1))
gap, se = own.mean() - b.mean(), np.sqrt(va + vb)
out["nineAgainstControl"] = {"value": gap, "low": gap - t975(df) * se, "high": gap + t975(df) * se, "p": 2 * stats.t.sf(gap / se, df)}


def power(shift, df):
    bound = t975(df)
    return stats.nct.sf(bound, df, shift) + stats.nct.cdf(-bound, df, shift)


def smallest(reaches):
    return next(n for n in range(2, 999) if reaches(n))


spread = own.std(ddof=1)
out["needed"] = [
    [smallest(lambda n: power(d / spread * np.sqrt(n), n - 1) >= wanted) for wanted in (0.8, 0.9)] for d in (1.5, 3, 6)
]
out["powerOfNine"] = 100 * power(3 / spread * np.sqrt(len(own)), len(own) - 1)

# Two trained arms in percent, each with its own interval on logarithms.
logs = [np.log(end / start)[in_grip], np.log(nine[:, 1] / nine[:, 0])]
of_each = [base["paired"](one) for one in logs]
out["poolWithout"] = [[100 * np.expm1(one[name]) for name in ("value", "low", "high")] for one in reversed(of_each)]

# Pull of an ordinary driver along its shaft (Penner 2003, double pendulum in line at impact).
def pull(mph, head=0.2, shaft=0.115, centre=0.4, club=1.05, arms=0.65, share=0.18):
    v = mph * 0.44704
    w, hands = v * (1 - share) / club, (v * share) ** 2 / arms
    return head * (w**2 * club + hands) + shaft * (w**2 * centre + hands)


slack = {"head": 0.01, "shaft": 0.015, "centre": 0.05, "club": 0.05, "arms": 0.1, "share": 0.05}
usual = {"head": 0.2, "shaft": 0.115, "centre": 0.4, "club": 1.05, "arms": 0.65, "share": 0.18}


def band(mph):
    at = pull(mph)
    moved = [sorted(pull(mph, **{name: usual[name] + s * slack[name]}) - at for s in (-1, 1)) for name in slack]
    return [at, at - np.sqrt(sum(lo**2 for lo, _ in moved)), at + np.sqrt(sum(hi**2 for _, hi in moved))]


out["pulls"] = {str(mph): band(mph) for mph in (80, 90, 100, 110, 120)}
print(json.dumps(plain(out), indent=2, ensure_ascii=False))
