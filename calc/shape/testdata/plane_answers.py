"""Areas, balance points, mitred buffers and intersections of half planes, by Shapely (GEOS).

Reads a list of cases as JSON, writes one answer for each."""
import json, math, sys
from shapely.geometry import Polygon

def half_plane(a, b, run):
    dx, dy = b[0] - a[0], b[1] - a[1]
    n = math.hypot(dx, dy)
    dx, dy = dx / n, dy / n
    x, y, far = a[0] - dy * run, a[1] + dx * run, 1e4
    p, q = (x - far * dx, y - far * dy), (x + far * dx, y + far * dy)
    return Polygon([p, q, (q[0] - far * dy, q[1] + far * dx), (p[0] - far * dy, p[1] + far * dx)])

def answer(case):
    pts = case["points"]
    poly = Polygon(pts)
    out = {"valid": poly.is_valid, "area": poly.area, "x": poly.centroid.x, "y": poly.centroid.y}
    if case.get("offset"):
        # join style 2 is the mitre, by its number in every version of Shapely
        moved = poly.buffer(case["offset"], join_style=2, mitre_limit=1e9)
        out["moved"] = [[list(c) for c in part.exterior.coords[:-1]] for part in getattr(moved, "geoms", [moved]) if not part.is_empty]
        out["moved_area"] = moved.area
        out["holes"] = sum(len(part.interiors) for part in getattr(moved, "geoms", [moved]) if not part.is_empty)
    if case.get("runs"):
        cut = Polygon([(-1e4, -1e4), (1e4, -1e4), (1e4, 1e4), (-1e4, 1e4)])
        for i, run in enumerate(case["runs"]):
            cut = cut.intersection(half_plane(pts[i], pts[(i + 1) % len(pts)], run))
        out["cut_area"], out["cut_corners"] = cut.area, 0 if cut.is_empty else len(cut.exterior.coords) - 1
    return out

json.dump([answer(c) for c in json.load(sys.stdin)], sys.stdout)
