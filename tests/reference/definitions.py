"""Makes definitions.json: values of small definitions, by numpy and scipy, on published data.

Run with Python 3, numpy and scipy (Debian: python3-numpy, python3-scipy):
    python3 tests/reference/definitions.py > tests/reference/definitions.json

The data are read from the other reference files, which name their sources, or are given here.
"""

import json
from pathlib import Path

import numpy as np
from scipy import integrate, optimize, stats

folder = Path(__file__).resolve().parent


def case_of(topic, name):
    cases = json.loads((folder / f"{topic}.json").read_text())["cases"]
    return next(one for one in cases if one["id"] == name)


def computed(call, value):
    return {"call": call, "value": value}


cases = []

# Effect of an arm under twelve choices: weights of girls before and after, arms Cont and FT.
anorexia = case_of("paired", "anorexia")
group = np.array(anorexia["data"]["group"])
keep = group != "CBT"
before = np.array(anorexia["data"]["before"], float)[keep]
after = np.array(anorexia["data"]["after"], float)[keep]
trained = group[keep] == "FT"


def pooled_slope(x, y):
    top = bottom = 0.0
    for arm in (trained, ~trained):
        top += np.sum((x[arm] - x[arm].mean()) * (y[arm] - y[arm].mean()))
        bottom += np.sum((x[arm] - x[arm].mean()) ** 2)
    return top / bottom


centre = {"mean": np.mean, "trimmed mean": lambda v: stats.trim_mean(v, 0.2), "median": np.median}
effects = []
for scale in ("raw", "log"):
    x, y = (before, after) if scale == "raw" else (np.log(before), np.log(after))
    for adjust in ("change", "baseline"):
        slope = 1 if adjust == "change" else pooled_slope(x, y)
        left = y - slope * x
        for name, of in centre.items():
            difference = of(left[trained]) - of(left[~trained])
            percent = 100 * difference / before.mean() if scale == "raw" else 100 * np.expm1(difference)
            effects.append({"scale": scale, "adjust": adjust, "centre": name, "value": percent})


def over(field, option):
    values = [one["value"] for one in effects if one[field] == option]
    return {"low": min(values), "median": float(np.median(values)), "high": max(values)}


cases.append({
    "id": "arm_effects",
    "source": anorexia["source"] + "; arms Cont and FT",
    "data": {},
    "published": [],
    "computed": {
        "effects": computed("numpy.mean, scipy.stats.trim_mean(v, 0.2), numpy.median of each arm; slope within arms by sums", effects),
        "median": computed("numpy.median of the twelve", float(np.median([one["value"] for one in effects]))),
        "by_option": computed(
            "min, numpy.median and max of the effects with one option",
            {field: {option: over(field, option) for option in dict.fromkeys(one[field] for one in effects)}
             for field in ("scale", "adjust", "centre")},
        ),
    },
})

# Change on the value before, corrected for the error of the test: a retest without a real change.
wright = case_of("reliability", "wright_pair")
first, second = np.array(wright["data"]["rows"], float).T
n = len(first)
line = stats.linregress(first, second - first)
error = np.std(second - first, ddof=1) / np.sqrt(2)
share = error**2 / np.var(first, ddof=1)
share_variance = share**2 * (2 / (n - 1) + 2 / (n - 1))
corrected = (line.slope + share) / (1 - share)
corrected_se = np.sqrt((line.stderr / (1 - share)) ** 2 + ((1 + line.slope) / (1 - share) ** 2) ** 2 * share_variance)
beyond_se = np.sqrt(line.stderr**2 + share_variance)
t = stats.t.ppf(0.975, n - 2)
cases.append({
    "id": "blomqvist",
    "source": wright["source"] + "; formula of Blomqvist (1977) J Am Stat Assoc 72:746-749",
    "data": {"typicalError": error, "typicalErrorDf": n - 1},
    "published": [],
    "computed": {
        "slope": computed("scipy.stats.linregress(first, second - first)", line.slope),
        "expected": computed("-error^2 / numpy.var(first, ddof=1)", -share),
        "beyond": computed("slope + share, t on n - 2", [line.slope + share, (line.slope + share) - t * beyond_se, (line.slope + share) + t * beyond_se]),
        "corrected": computed("(slope + share) / (1 - share), delta method, t on n - 2", [corrected, corrected - t * corrected_se, corrected + t * corrected_se]),
    },
})

# Own means and distances from them; pH and PaCO2 of eight people.
bland = case_of("correlation", "bland1995")
subject = np.array(bland["data"]["Subject"])
ph = np.array(bland["data"]["pH"], float)
own = np.array([ph[subject == who].mean() for who in subject])
cases.append({
    "id": "own_means",
    "source": bland["source"],
    "data": {},
    "published": [],
    "computed": {
        "between": computed("numpy.mean of the rows of each subject", own.tolist()),
        "within": computed("row - own mean", (ph - own).tolist()),
    },
})

# People who left: two occasions, every fourth girl of arm FT without the second. Closed form.
x, y = before[trained], after[trained]
seen = np.arange(len(x)) % 4 != 3
fit = stats.linregress(x[seen], y[seen])
at_random = y[seen].mean() + fit.slope * (x.mean() - x[seen].mean())
cases.append({
    "id": "left_early",
    "source": anorexia["source"] + "; arm FT, every fourth second weight taken out; likelihood in closed form, Anderson (1957) J Am Stat Assoc 52:200-203",
    "data": {"shift": -2, "leftEvery": 4},
    "published": [],
    "computed": {
        "at_random": computed("mean seen + slope of those seen x (mean before of all - of those seen)", at_random),
        "shifted": computed("at_random + shift x share that left", at_random - 2 * np.mean(~seen)),
        "share": computed("numpy.mean of those who left", float(np.mean(~seen))),
    },
})

# Calcium of turnip greens, per cent of dry weight: 4 plants, 3 leaves of each, 2 determinations.
turnip = np.array([
    [[3.28, 3.09], [3.52, 3.48], [2.88, 2.80]],
    [[2.46, 2.44], [1.87, 1.92], [2.19, 2.19]],
    [[2.77, 2.66], [3.74, 3.44], [2.55, 2.55]],
    [[3.78, 3.87], [4.07, 4.12], [3.31, 3.31]],
])
leaf = turnip.mean(axis=2)
determination_ms = np.sum((turnip - leaf[..., None]) ** 2) / 12
leaf_ms = 2 * np.sum((leaf - leaf.mean(axis=1)[:, None]) ** 2) / 8
cases.append({
    "id": "turnip_greens",
    "source": "Snedecor & Cochran (1967) Statistical Methods, 6th ed., section 10.17 (data and printed mean squares cited from memory; the data give the mean squares)",
    "data": {"trialError": float(np.sqrt(determination_ms)), "retestError": float(np.sqrt(leaf_ms / 2)), "trials": 2},
    "published": [
        {"quantity": "determinations", "printed": "0.0067", "citation": "Snedecor & Cochran (1967), section 10.17, from memory"},
        {"quantity": "leaves", "printed": "0.1611", "citation": "Snedecor & Cochran (1967), section 10.17, from memory"},
    ],
    "computed": {
        "determinations": computed("mean square of determinations within leaves", determination_ms),
        "leaves": computed("(mean square of leaves within plants - that of determinations) / 2", (leaf_ms - determination_ms) / 2),
        "error_of_mean": computed("square root of leaves + determinations / k, k = 1 to 4", [float(np.sqrt((leaf_ms - determination_ms) / 2 + determination_ms / k)) for k in (1, 2, 3, 4)]),
    },
})

# Fisher's transformation of correlations.
r = [-0.97, -0.7, -0.1, 0.0, 0.05, 0.38, 0.446, 0.76, 0.999]
cases.append({
    "id": "fisher_z",
    "source": "Fisher (1921) Metron 1:3-32, for the formula; values by numpy",
    "data": {"r": r},
    "published": [],
    "computed": {"z": computed("numpy.arctanh(r)", np.arctanh(r).tolist())},
})

# Smallest worthwhile change with an error that is itself an estimate.
baseline = [40, 45, 50, 55, 60, 42, 58, 47]
sd, df, error, error_df = np.std(baseline, ddof=1), 7, 3.0, 8


def limits(variance, degrees):
    return [degrees * variance / stats.chi2.ppf(q, degrees) for q in (0.975, 0.025)]


low, high = limits(sd**2, df)
error_low, error_high = limits(error**2, error_df)
difference = sd**2 - error**2
mover = [
    difference - np.sqrt((sd**2 - low) ** 2 + (error_high - error**2) ** 2),
    difference + np.sqrt((high - sd**2) ** 2 + (error**2 - error_low) ** 2),
]
cases.append({
    "id": "worthwhile",
    "source": "Zou & Donner (2008) Stat Med 27:1693-1702, for the limits; invented values",
    "data": {"baseline": baseline, "typicalError": error, "typicalErrorDf": error_df},
    "published": [],
    "computed": {
        "value": computed("0.2 sqrt(numpy.var(baseline, ddof=1) - error^2)", 0.2 * np.sqrt(difference)),
        "limits": computed("0.2 sqrt of the limits from scipy.stats.chi2.ppf", [0.2 * float(np.sqrt(max(0, one))) for one in mover]),
    },
})

# Power of the comparison of two means, one non-central t.
people, gain, sd_change = 20, 1.6, 1.5 * np.sqrt(2)
shift = gain / (sd_change * np.sqrt(2 / people))
bound = stats.t.ppf(0.975, 2 * people - 2)
cases.append({
    "id": "power_of_changes",
    "source": "Cohen (1988) Statistical Power Analysis, 2nd ed., chapter 2, for the definition; value by scipy",
    "data": {"people": people, "gain": gain, "sdChange": float(sd_change)},
    "published": [],
    "computed": {"power": computed("scipy.stats.nct sf and cdf at t(0.975, 38)", float(stats.nct.sf(bound, 38, shift) + stats.nct.cdf(-bound, 38, shift)))},
})

# Mean change of two or three people with a normal prior, narrow to wide beside the standard error.
def posterior(changes, prior_mean, prior_sd):
    changes = np.array(changes, float)
    n, centre, se = len(changes), changes.mean(), stats.sem(changes)
    steps = np.concatenate([[0], np.logspace(-2, 9, 45)])
    cuts = np.concatenate([centre + s * se * steps for s in (-1, 1)] + [prior_mean + s * prior_sd * np.linspace(0, 30, 31) for s in (-1, 1)])
    ends = prior_mean - 30 * prior_sd, prior_mean + 30 * prior_sd
    cuts = np.unique(np.clip(cuts, *ends))
    density = lambda mu: np.exp(-(((mu - prior_mean) / prior_sd) ** 2) / 2 - n / 2 * np.log1p(((centre - mu) / se) ** 2 / (n - 1)))
    part = lambda f, low, high: integrate.quad(f, low, high, epsabs=0, epsrel=1e-12, limit=200)[0]
    whole = lambda f: sum(part(f, a, b) for a, b in zip(cuts, cuts[1:]))
    masses = np.array([part(density, a, b) for a, b in zip(cuts, cuts[1:])])
    total = masses.sum()
    mean = whole(lambda mu: mu * density(mu)) / total
    sd = np.sqrt(whole(lambda mu: (mu - mean) ** 2 * density(mu)) / total)

    def quantile(p):
        at = np.searchsorted(np.cumsum(masses), p * total)
        before = masses[:at].sum()
        return optimize.brentq(lambda mu: before + part(density, cuts[at], mu) - p * total, cuts[at], cuts[at + 1], xtol=1e-15, rtol=1e-13)

    return {"mean": mean, "sd": sd, "low": quantile(0.025), "median": quantile(0.5), "high": quantile(0.975)}


few = [([1, 2], 0, 0.001), ([1, 2], 0, 1), ([1, 2], 20, 1), ([1, 2], 0, 100), ([1, 1.001], 0, 1), ([1, 2, 3], 0, 1e4)]
cases.append({
    "id": "few_people",
    "source": "Gelman et al. (2013) Bayesian Data Analysis, 3rd ed., sections 3.2 and 3.3, for the density; invented values",
    "data": {"asked": [{"changes": changes, "prior": {"mean": mean, "sd": sd}} for changes, mean, sd in few]},
    "published": [],
    "computed": {"posteriors": computed("scipy.integrate.quad of the density, quantiles by scipy.optimize.brentq", [posterior(*one) for one in few])},
})


def plain(value):
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain(inner) for inner in value]
    return float(value) if isinstance(value, (np.floating, np.integer)) else value


print(json.dumps({"source": "numpy and scipy; see definitions.py", "cases": plain(cases)}, indent=2, ensure_ascii=False))
