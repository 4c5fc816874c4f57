"""Makes study-questions.json: changes, relations, reliability, dose and pools, from the CSV files.

Run with Python 3, numpy and scipy (Debian: python3-numpy, python3-scipy):
    python3 tests/reference/study-questions.py > tests/reference/study-questions.json

Models are fitted with explicit design matrices; every golfer or study is left out by fitting again.
Nothing here shares a method with lib/analysis, which leaves out by closed forms.
"""

import csv
import json
from pathlib import Path

import numpy as np
from scipy import optimize, stats

root = Path(__file__).resolve().parents[2] / "data"
study = root / "winter-block"
to_kgf = {"kgf": 1.0, "N": 1 / 9.80665, "lbf": 0.45359237}
to_mph = {"mph": 1.0, "m/s": 1 / 0.44704, "km/h": 1 / 1.609344}


def rows(path):
    with open(path, newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


people = {row["participant"]: row for row in rows(study / "participants.csv")}
lead = {code: "left" if row["plays"] == "right" else "right" for code, row in people.items()}

grip = {}
for row in rows(study / "grip-trials.csv"):
    if row["status"] != "valid" or row["position"] != "address":
        continue
    if row["hand"] != lead[row["participant"]]:
        continue
    key = (row["participant"], row["occasion"])
    grip.setdefault(key, {})[int(row["trial"])] = float(row["force"]) * to_kgf[row["unit"]]
swing = {}
for row in rows(study / "swing-trials.csv"):
    if row["status"] == "valid":
        key = (row["participant"], row["occasion"])
        swing.setdefault(key, {})[int(row["swing"])] = float(row["speed"]) * to_mph[row["unit"]]

# The rule of the plan: the mean of the first three trials, and of all swings.
mean3 = {key: np.mean([own[k] for k in sorted(own)[:3]]) for key, own in grip.items()}
speed = {key: np.mean(list(own.values())) for key, own in swing.items()}


def least_squares(y, *columns, level=0.95, which=1):
    x = np.column_stack([np.ones(len(y)), *columns])
    b, *_ = np.linalg.lstsq(x, y, rcond=None)
    e = y - x @ b
    df = len(y) - x.shape[1]
    inverse = np.linalg.inv(x.T @ x)
    se = np.sqrt(e @ e / df * inverse[which, which])
    t = stats.t.ppf((1 + level) / 2, df)
    h = np.einsum("ij,jk,ik->i", x, inverse, x)
    hc3 = np.sqrt((inverse @ (x.T * (e / (1 - h)) ** 2) @ x @ inverse)[which, which])
    return {"value": b[which], "low": b[which] - t * se, "high": b[which] + t * se, "hc3": hc3}


def left_out(n, make):
    values = [make(np.arange(n) != i) for i in range(n)]
    whole = make(np.ones(n, bool))
    return {"low": min([whole, *values]), "high": max([whole, *values])}


out = {"source": "numpy and scipy from the CSV files; see study-questions.py"}

codes = [code for code in people if (code, "w0") in mean3 and (code, "w0") in speed]
x = np.array([mean3[code, "w0"] for code in codes])
y = np.array([speed[code, "w0"] for code in codes])
male = np.array([float(people[code]["sex"] == "male") for code in codes])
age = np.array([float(people[code]["age_years"]) for code in codes])
mass = np.array([float(people[code]["mass_kg"]) for code in codes])
out["slope"] = least_squares(y, x)
out["slope"]["leaveOneOut"] = left_out(len(x), lambda k: least_squares(y[k], x[k])["value"])
out["adjusted"] = least_squares(y, x, male, age, mass)
out["adjusted"]["leaveOneOut"] = left_out(
    len(x), lambda k: least_squares(y[k], x[k], male[k], age[k], mass[k])["value"]
)
r = np.corrcoef(x, y)[0, 1]
z, half = np.arctanh(r), stats.norm.ppf(0.975) / np.sqrt(len(x) - 3)
out["correlation"] = {
    "value": r,
    "low": np.tanh(z - half),
    "high": np.tanh(z + half),
    "leaveOneOut": left_out(len(x), lambda k: np.corrcoef(x[k], y[k])[0, 1]),
}
others = np.column_stack([np.ones(len(x)), male, age, mass])
residual = lambda v: v - others @ np.linalg.lstsq(others, v, rcond=None)[0]
out["partial"] = {"value": np.corrcoef(residual(x), residual(y))[0, 1]}
out["commonToSexes"] = least_squares(y, x, male)

pairs = [c for c in people if all((c, w) in d for w in ("w0", "w6") for d in (mean3, speed))]
dx = np.array([mean3[c, "w6"] - mean3[c, "w0"] for c in pairs])
dy = np.array([speed[c, "w6"] - speed[c, "w0"] for c in pairs])
arm = np.array([float(people[c]["arm"] == "grip") for c in pairs])
out["changes"] = least_squares(dy, dx)
out["changesWithinArms"] = least_squares(dy, dx, arm)
error = 2 * 1.2**2
spread = np.var(dx, ddof=1)
out["shareOfChanges"] = {"typicalError": 1.2, "value": (spread - error) / spread}
out["correctedForError"] = {"value": np.cov(dx, dy)[0, 1] / (spread - error)}


def typical_error(table):
    """Two-way least squares with a column per golfer and per trial; golfers with one value add none."""
    cells = [(p, t, v) for p, own in table.items() if len(own) > 1 for t, v in own.items()]
    golfers = sorted({p for p, _, _ in cells})
    trials = sorted({t for _, t, _ in cells})
    design = np.zeros((len(cells), len(golfers) + len(trials) - 1))
    for i, (p, t, _) in enumerate(cells):
        design[i, golfers.index(p)] = 1
        if trials.index(t) > 0:
            design[i, len(golfers) + trials.index(t) - 1] = 1
    v = np.array([value for _, _, value in cells])
    e = v - design @ np.linalg.lstsq(design, v, rcond=None)[0]
    df = len(cells) - design.shape[1]
    return np.sqrt(e @ e / df), df


def reliability(table):
    sd, df = typical_error(table)
    limits = [np.sqrt(df / stats.chi2.ppf(q, df)) for q in (0.975, 0.025)]
    values = [
        typical_error({p: own for p, own in table.items() if p != golfer})[0]
        for golfer, own in table.items()
        if len(own) > 1
    ]
    factor = stats.norm.ppf(0.975) * np.sqrt(2)
    return {
        "value": sd,
        "df": df,
        "low": sd * limits[0],
        "high": sd * limits[1],
        "mdc": factor * sd,
        "mdcHigh": factor * sd * limits[1],
        "leaveOneOut": {"low": min([sd, *values]), "high": max([sd, *values])},
    }


def intraclass(table):
    """REML of golfers with fixed trial effects, from the dense likelihood."""
    cells = [(p, t, v) for p, own in table.items() for t, v in own.items()]
    golfers = sorted({p for p, _, _ in cells})
    trials = sorted({t for _, t, _ in cells})
    z = np.array([[float(p == g) for g in golfers] for p, _, _ in cells])
    d = np.array([[1.0, *(float(t == u) for u in trials[1:])] for _, t, _ in cells])
    v = np.array([value for _, _, value in cells])

    def criterion(logs):
        covariance = np.exp(logs[0]) * z @ z.T + np.exp(logs[1]) * np.eye(len(v))
        inverse = np.linalg.inv(covariance)
        information = d.T @ inverse @ d
        b = np.linalg.solve(information, d.T @ inverse @ v)
        e = v - d @ b
        return (
            np.linalg.slogdet(covariance)[1]
            + np.linalg.slogdet(information)[1]
            + e @ inverse @ e
        )

    found = optimize.minimize(
        criterion, [5, 1], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-11, "maxiter": 4000}
    )
    golfer, residual = np.exp(found.x)
    return golfer / (golfer + residual)


def at(values, occasion):
    return {code: own for (code, visit), own in values.items() if visit == occasion}


out["trialError"] = reliability(at(grip, "w0"))
out["swingError"] = reliability(at(swing, "w0"))
out["swingIcc"] = {"value": intraclass(at(swing, "w0"))}
control = {}
for (code, visit), value in mean3.items():
    if people[code]["arm"] == "swing":
        control.setdefault(code, {})[visit] = value
out["visitError"] = reliability(control)
out["retestError"] = reliability(
    {c: {w: v for w, v in own.items() if w != "w3"} for c, own in control.items()}
)

days = {}
for name in ("grip-trials.csv", "swing-trials.csv"):
    for row in rows(study / name):
        key = (row["participant"], row["occasion"])
        days[key] = min(days.get(key, "9999"), row["date"])
sessions = {}
for row in rows(study / "training-log.csv"):
    code = row["participant"]
    if days[code, "w0"] <= row["date"] < days.get((code, "w6"), "9999") and row["completed"] == "yes":
        sessions[code] = sessions.get(code, 0) + 1
trained = [c for c in pairs if people[c]["arm"] == "grip"]
before = np.array([mean3[c, "w0"] for c in trained])
after = np.array([mean3[c, "w6"] for c in trained])
dose = np.array([float(sessions[c]) for c in trained])
out["dose"] = least_squares(after, dose, before)
out["dose"]["leaveOneOut"] = left_out(
    len(dose), lambda k: least_squares(after[k], dose[k], before[k])["value"]
)
out["dose"]["proportional"] = np.mean(after - before) / np.mean(dose)
all_before = np.array([mean3[c, "w0"] for c in pairs])
all_after = np.array([mean3[c, "w6"] for c in pairs])
all_dose = np.array([float(sessions[c]) for c in pairs])
out["doseDifference"] = least_squares(all_after, all_dose * arm, all_dose, arm, all_before)
ranks = stats.spearmanr(all_dose, all_before)[0]
out["attendance"] = {
    "value": ranks,
    "leaveOneOut": left_out(len(pairs), lambda k: stats.spearmanr(all_dose[k], all_before[k])[0]),
}


def hartung_knapp(r, n):
    """REML between-study variance on the z scale, modified Hartung-Knapp interval."""
    z, v = np.arctanh(np.array(r)), 1 / (np.array(n) - 3.0)

    def criterion(tau2):
        w = 1 / (v + tau2)
        m = np.sum(w * z) / np.sum(w)
        return np.sum(np.log(v + tau2)) + np.log(np.sum(w)) + np.sum(w * (z - m) ** 2)

    tau2 = optimize.minimize_scalar(criterion, bounds=(0, 4), method="bounded", options={"xatol": 1e-14}).x
    if criterion(0.0) <= criterion(tau2):
        tau2 = 0.0
    w = 1 / (v + tau2)
    m = np.sum(w * z) / np.sum(w)
    k = len(z)
    se = max(np.sqrt(np.sum(w * (z - m) ** 2) / (k - 1) / np.sum(w)), np.sqrt(1 / np.sum(w)))
    half = stats.t.ppf(0.975, k - 1) * se
    return {"value": np.tanh(m), "low": np.tanh(m - half), "high": np.tanh(m + half)}


printed = [(0.54, 16), (0.65, 15), (0.63, 68)]
unknown = 33
t = stats.t.ppf(0.975, unknown - 2)
bound = t / np.sqrt(t**2 + unknown - 2)
out["published"] = {
    "bound": bound,
    "all": hartung_knapp(*zip(*printed)),
    "without": [hartung_knapp(*zip(*(printed[:i] + printed[i + 1 :]))) for i in range(3)],
    "with": [hartung_knapp(*zip(*printed, (r, unknown))) for r in (-bound, 0.0, bound)],
}


# Published gains of trained groups: the spread of changes is the larger one of two trained arms.
def in_mph(row):
    return float(row["speed"]) * to_mph[row["unit"]]


def trained_changes(study, file, value, before, after, where):
    read = speed_meter if file == "speed-meter.csv" else rows
    trials = [r for r in read(root / study / file) if r["status"] == "valid" and where(r)]
    found = []
    for person in rows(root / study / "participants.csv"):
        if person["arm"] != "grip":
            continue
        own = [r for r in trials if r["participant"] == person["participant"]]
        ends = [[value(r) for r in own if r["occasion"] == visit] for visit in (before, after)]
        if all(ends):
            found.append([np.mean(end) for end in ends])
    return np.array(found)


def log_sd(study, file, before, after):
    first, last = trained_changes(study, file, in_mph, before, after, lambda r: True).T
    return 100 * np.std(np.log(last) - np.log(first), ddof=1)


# The coach's speed meter exports a file of its own: semicolons, other headings, decimal commas.
def speed_meter(path):
    with open(path, newline="") as file:
        for row in csv.DictReader(file, delimiter=";"):
            yield {
                "participant": row["Player"],
                "occasion": row["Test"],
                "speed": row["Club speed (mph)"].replace(",", "."),
                "unit": "mph",
                "status": "valid",
            }


assumed = max(
    log_sd("winter-block", "swing-trials.csv", "w0", "w6"),
    log_sd("coach-nine", "speed-meter.csv", "Pre", "Post"),
)


def pooled_gain(gains):
    y = np.array([gain for gain, _ in gains])
    v = np.array([assumed**2 / n for _, n in gains])

    def criterion(tau2):
        w = 1 / (v + tau2)
        m = np.sum(w * y) / np.sum(w)
        return np.sum(np.log(v + tau2)) + np.log(np.sum(w)) + np.sum(w * (y - m) ** 2)

    tau2 = optimize.minimize_scalar(criterion, bounds=(0, 500), method="bounded", options={"xatol": 1e-12}).x
    tau2 = 0.0 if criterion(0.0) <= criterion(tau2) else tau2
    w = 1 / (v + tau2)
    m = np.sum(w * y) / np.sum(w)
    q = max(1, np.sum(w * (y - m) ** 2) / (len(y) - 1))
    half = stats.t.ppf(0.975, len(y) - 1) * np.sqrt(q / np.sum(w))
    return {"value": m, "low": m - half, "high": m + half}


def is_number(text):
    return text.replace(".", "", 1).isdigit()


gains = [
    (float(r["chs_pct"]), int(r["n_trained"]))
    for r in rows(root / "published" / "training-effects.csv")
    if is_number(r["chs_pct"])
]
out["gains"] = {
    **pooled_gain([one for one in gains if one[0] <= 8]),
    "all": pooled_gain(gains),
    "without": [pooled_gain(gains[:i] + gains[i + 1 :]) for i in range(len(gains))],
}

# The error of a trained arm, the common change taken out: the SD of changes over the root of 2.
lead = trained_changes(
    "coach-nine", "grip-trials.csv", lambda r: float(r["force"]), "before", "after", lambda r: r["hand"] == "lead"
)
error = np.std(lead[:, 1] - lead[:, 0], ddof=1) / np.sqrt(2)
df = len(lead) - 1
out["pilotError"] = {
    "value": error,
    "low": error * np.sqrt(df / stats.chi2.ppf(0.975, df)),
    "high": error * np.sqrt(df / stats.chi2.ppf(0.025, df)),
}


# Changes within arms, percentages by their denominator, another rule, and the golfers at the start.
def paired(differences, level=0.95):
    n = len(differences)
    mean, se = np.mean(differences), np.std(differences, ddof=1) / np.sqrt(n)
    half = stats.t.ppf((1 + level) / 2, n - 1) * se
    without = [np.mean(np.delete(differences, i)) for i in range(n)]
    return {
        "n": n,
        "value": mean,
        "low": mean - half,
        "high": mean + half,
        "p": 2 * stats.t.sf(abs(mean / se), n - 1),
        "leaveOneOut": {"low": min([mean, *without]), "high": max([mean, *without])},
    }


both = [c for c in people if (c, "w0") in mean3 and (c, "w6") in mean3]
own = {c: mean3[c, "w6"] - mean3[c, "w0"] for c in both}
out["withinArms"] = {
    name: paired(np.array([own[c] for c in both if people[c]["arm"] == name])) for name in ("grip", "swing")
}
ratios = paired(np.array([np.log(speed[c, "w6"] / speed[c, "w0"]) for c in pairs if people[c]["arm"] == "grip"]))
out["speedPercentInGrip"] = {k: 100 * np.expm1(ratios[k]) for k in ("value", "low", "high")}

start = np.array([mean3[c, "w0"] for c in both])
end = np.array([mean3[c, "w6"] for c in both])
in_grip = np.array([float(people[c]["arm"] == "grip") for c in both])
columns = np.column_stack([np.ones(len(both)), in_grip, start])
b = np.linalg.lstsq(columns, end, rcond=None)[0]
control_mean = b[0] + b[2] * start.mean()
trained_mean = control_mean + b[1]
out["percents"] = [
    100 * b[1] / control_mean,
    100 * b[1] / trained_mean,
    200 * b[1] / (control_mean + trained_mean),
    100 * np.log(trained_mean / control_mean),
]

first = [c for c in people if (c, "w0") in mean3]
best3 = {key: max(own[k] for k in sorted(own)[:3]) for key, own in grip.items()}
out["bestOfThree"] = paired(np.array([best3[c, "w0"] - mean3[c, "w0"] for c in first]))

out["atTheStart"] = {
    name: {
        "golfers": sum(row["arm"] == name for row in people.values()),
        "age": [f([float(r["age_years"]) for r in people.values() if r["arm"] == name]) for f in (np.mean, lambda v: np.std(v, ddof=1))],
        "grip": [f([mean3[c, "w0"] for c in first if people[c]["arm"] == name]) for f in (np.mean, lambda v: np.std(v, ddof=1))],
    }
    for name in ("grip", "swing")
}

# The error of three trials at every hand and position.
places = {}
for row in rows(study / "grip-trials.csv"):
    if row["status"] == "valid" and row["occasion"] == "w0":
        leading = "left" if people[row["participant"]]["plays"] == "right" else "right"
        hand = "lead" if row["hand"] == leading else "trail"
        table = places.setdefault(f"{hand} {row['position']}", {})
        table.setdefault(row["participant"], {})[int(row["trial"])] = float(row["force"]) * to_kgf[row["unit"]]
out["errorByPlace"] = {
    name: {k: found[k] for k in ("value", "low", "high", "mdc", "mdcHigh")}
    for name, found in ((name, reliability(table)) for name, table in sorted(places.items()))
}

# Highest trial of both hands, seated, against the median of sex and age.
# Below 20 years, where that table begins, the mean of sex, age and height of another one.
norms = rows(root / "published" / "norms-tomkinson2025.csv")
young = [r for r in rows(root / "published" / "norms-steiber2016-height.csv") if r["age_group_y"] == "17-19"]
highest = {}
for row in rows(study / "grip-trials.csv"):
    if row["status"] == "valid" and row["occasion"] == "w0" and row["position"] == "seated":
        force = float(row["force"]) * to_kgf[row["unit"]]
        highest[row["participant"]] = max(force, highest.get(row["participant"], 0))


def median_of(person):
    at = float(person["age_years"])
    if at < 20:
        heights = [r for r in young if r["sex"] == person["sex"] and int(r["height_group_cm"][:3]) <= float(person["height_cm"])]
        return float(max(heights, key=lambda r: int(r["height_group_cm"][:3]))["mean_grip_kgf"])
    fits = [r for r in norms if r["sex"] == person["sex"] and float(r["age_from_y"]) <= at]
    return float(max(fits, key=lambda r: float(r["age_from_y"]))["p50"])


from_median = np.array([value - median_of(people[c]) for c, value in highest.items()])
out["fromMedian"] = {**paired(from_median), "above": int(np.sum(from_median > 0))}

# Effects under twelve choices about the analysis, the data as planned.
def twelve(x, y, trained):
    found = []
    for log in (False, True):
        u, v = (np.log(x), np.log(y)) if log else (x, y)
        inner = [(u[a] - u[a].mean(), v[a] - v[a].mean()) for a in (trained, ~trained)]
        pooled = sum(p @ q for p, q in inner) / sum(p @ p for p, _ in inner)
        for slope in (1, pooled):
            left = v - slope * u
            for centre in (np.mean, lambda w: stats.trim_mean(w, 0.2), np.median):
                difference = centre(left[trained]) - centre(left[~trained])
                found.append(100 * np.expm1(difference) if log else 100 * difference / x.mean())
    return sorted(found)


out["specifications"] = twelve(start, end, in_grip == 1)

# Two studies without control arms in common: the trained arms' ratios, pooled by REML.
nine = trained_changes(
    "coach-nine", "grip-trials.csv", lambda r: float(r["force"]), "before", "after",
    lambda r: r["hand"] == "lead" and r["position"] == "address",
)
y = [np.log(end / start)[in_grip == 1], np.log(nine[:, 1] / nine[:, 0])]
effect = np.array([one.mean() for one in y])
v = np.array([one.var(ddof=1) / len(one) for one in y])


def two_studies(tau2):
    w = 1 / (v + tau2)
    m = np.sum(w * effect) / np.sum(w)
    return np.sum(np.log(v + tau2)) + np.log(np.sum(w)) + np.sum(w * (effect - m) ** 2)


tau2 = optimize.minimize_scalar(two_studies, bounds=(0, 1), method="bounded", options={"xatol": 1e-14}).x
tau2 = 0.0 if two_studies(0.0) <= two_studies(tau2) else tau2
w = 1 / (v + tau2)
m = np.sum(w * effect) / np.sum(w)
half = stats.t.ppf(0.975, 1) * np.sqrt(max(1, np.sum(w * (effect - m) ** 2)) / np.sum(w))
out["twoStudies"] = {"value": 100 * np.expm1(m), "low": 100 * np.expm1(m - half), "high": 100 * np.expm1(m + half)}

# Visit to visit within golfers: own lines, repeated-measures correlation, mixed model.
visits = {}
for (c, visit), value in mean3.items():
    if (c, visit) in speed:
        visits.setdefault(c, []).append((value, speed[c, visit], float(visit[1:]), people[c]["arm"] == "grip"))
lines = [np.polyfit(*np.array(rows_)[:, :2].T, 1)[0] for rows_ in visits.values() if len(rows_) > 1]
out["ownSlopes"] = paired(np.array(lines))
centred = np.vstack([np.array(r)[:, :2] - np.mean(np.array(r)[:, :2], axis=0) for r in visits.values() if len(r) > 1])
xx, yy, xy = centred[:, 0] @ centred[:, 0], centred[:, 1] @ centred[:, 1], centred[:, 0] @ centred[:, 1]
repeats = sum(len(r) > 1 for r in visits.values())
r = xy / np.sqrt(xx * yy)
df = len(centred) - repeats - 1
z, half = np.arctanh(r), stats.norm.ppf(0.975) / np.sqrt(df - 1)
out["repeatedCorrelation"] = {"value": r, "low": np.tanh(z - half), "high": np.tanh(z + half)}


def mixed_slope(timed):
    blocks = []
    for own in visits.values():
        x, y, week, arm = np.array(own, float).T
        inner = x - x.mean()
        fixed = [np.ones(len(x)), np.full(len(x), x.mean()), inner]
        blocks.append((np.column_stack(fixed + ([week, week * arm] if timed else [])), np.column_stack([np.ones(len(x)), inner]), y))

    def fit(theta):
        root_ = np.array([[theta[0], 0], [theta[1], theta[2]]])
        terms = []
        for d, q, y in blocks:
            u = np.eye(len(y)) + q @ root_ @ root_.T @ q.T
            terms.append((d.T @ np.linalg.solve(u, d), d.T @ np.linalg.solve(u, y), y @ np.linalg.solve(u, y), np.linalg.slogdet(u)[1]))
        a, g, s, logs = (sum(part) for part in zip(*terms))
        beta = np.linalg.solve(a, g)
        df = sum(len(y) for _, _, y in blocks) - len(beta)
        left = s - g @ beta
        return logs + np.linalg.slogdet(a)[1] + df * np.log(left), beta, left / df * np.linalg.inv(a)

    best = optimize.minimize(
        lambda t: fit(t)[0], [5, 0.0, 0.2], method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-11, "maxiter": 4000}
    )
    _, beta, covariance = fit(best.x)
    return {"value": beta[2], "se": np.sqrt(covariance[2, 2])}


out["withinGolfers"] = mixed_slope(True)
out["withinGolfersUntimed"] = mixed_slope(False)


def plain(value):
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain(inner) for inner in value]
    return float(value) if isinstance(value, (np.floating, np.integer)) else value


print(json.dumps(plain(out), indent=2))
