"""Areas, shared areas and distances of placed polygons, by Shapely (GEOS).

Reads a list of sheets as JSON, writes one answer for each."""
import itertools, json, sys
from shapely.geometry import LinearRing, Polygon

def answer(sheet):
    rim = Polygon(sheet["rim"])
    parts = [Polygon(p[0], p[1:]) for p in sheet["parts"]]
    out = {"valid": all(p.is_valid for p in parts), "areas": [p.area for p in parts], "shared": 0, "nearest": -1, "outside": 0, "rim": 1e9}
    if not out["valid"]:
        return out
    for a, b in itertools.combinations(parts, 2):
        out["shared"] = max(out["shared"], a.intersection(b).area)
        d = a.distance(b)
        out["nearest"] = d if out["nearest"] < 0 else min(out["nearest"], d)
    edge = LinearRing(sheet["rim"])
    for p in parts:
        out["outside"] = max(out["outside"], p.difference(rim).area)
        out["rim"] = min(out["rim"], p.distance(edge))
    return out

json.dump([answer(s) for s in json.load(sys.stdin)], sys.stdout)
