"""Figures for the interval of a share, from two libraries: sh it with  python3 wilson.py > wilson.json

Wilson's score interval (1927) without continuity correction, two-sided 95 %, by scipy.stats.binomtest and by
statsmodels.stats.proportion.proportion_confint. The two must agree before anything is written.
"""
import json

import scipy
import statsmodels
from scipy.stats import binomtest
from statsmodels.stats.proportion import proportion_confint

CASES = [(0, 1), (1, 1), (0, 12), (5, 12), (12, 12), (7, 30), (29, 30), (63, 200), (1, 1000), (166_000, 166_667)]

out = []
for hits, n in CASES:
    ci = binomtest(hits, n).proportion_ci(0.95, method="wilson")
    other = proportion_confint(hits, n, 0.05, method="wilson")
    assert abs(ci.low - other[0]) < 1e-12 and abs(ci.high - other[1]) < 1e-12, (hits, n, ci, other)
    out.append({"hits": hits, "of": n, "low": round(float(ci.low), 9), "high": round(float(ci.high), 9)})
made = f"scipy {scipy.__version__}, statsmodels {statsmodels.__version__}"
print(json.dumps({"made_by": made, "cases": out}))
