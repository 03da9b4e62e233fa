"""Fixtures for the geometry room, from an implementation of its own.

Written from the formulae and definitions, not from the program, and by other methods wherever
there are any: points of a circle in three dimensions and root finding instead of closed forms,
quadrature over four hundred places instead of twelve, rotation matrices instead of component
formulae, an eighth-order integrator with error control instead of fixed steps.

    python3 -m venv env && env/bin/pip install -r tests/reference/requirements.txt
    env/bin/python tests/reference/geometry_fixtures.py            writes tests/reference/fixtures/
    env/bin/python tests/reference/geometry_fixtures.py --sample 25 --check

With --check nothing is written: the cases (all, or N of each kind, evenly spread) are computed
again and compared with the committed files; exit code 1 if any differs.
"""

import argparse
import csv
import math
import pathlib
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.stats import norm

HERE = pathlib.Path(__file__).parent / "fixtures"
BALL = 21.335  # radius, mm
INCH = 25.4
KINDS = ("arc", "strike", "rates", "teed", "impact", "flight")
CASES = {"arc": 700, "strike": 1000, "rates": 400, "teed": 200, "impact": 600, "flight": 300}


def draws(kind, index):
    """A generator of its own for each case, so that a sample needs no others."""
    return np.random.default_rng([1976, KINDS.index(kind), index])


def uniform(rng, low, high, digits):
    return round(float(rng.uniform(low, high)), digits)


# ---------------------------------------------------------------- the arc as points of a circle


def circle_point(phi, s, h, radius, plane):
    """Point of the arc at angle phi from its low point: along, push side, up; mm and radians."""
    in_plane = np.array([math.sin(phi), 1 - math.cos(phi)]) * radius
    slope = np.array([-math.cos(plane), math.sin(plane)])
    return np.array([s + in_plane[0], *(in_plane[1] * slope + np.array([0.0, h]))])


def angle_over(x, s, radius):
    return brentq(lambda phi: s + radius * math.sin(phi) - x, -1.4, 1.4, xtol=1e-15)


def height_over(x, s, h, radius, plane):
    return circle_point(angle_over(x, s, radius), s, h, radius, plane)[2]


def tangent_over(x, s, h, radius, plane):
    phi, step = angle_over(x, s, radius), 1e-4
    # Fourth-order difference of the points themselves.
    d = (
        8 * (circle_point(phi + step, s, h, radius, plane) - circle_point(phi - step, s, h, radius, plane))
        - (circle_point(phi + 2 * step, s, h, radius, plane) - circle_point(phi - 2 * step, s, h, radius, plane))
    )
    return d / np.linalg.norm(d)


def crossing(level, s, h, radius, plane, side):
    """Where the arc passes a height on its way down (side -1) or up (side +1)."""
    phi = brentq(
        lambda a: circle_point(side * a, s, h, radius, plane)[2] - level, 0, 1.4, xtol=1e-15
    )
    return circle_point(side * phi, s, h, radius, plane)[0]


def arc_case(rng):
    s_in, h_mm = uniform(rng, -6, 8, 3), uniform(rng, -25, 30, 2)
    radius_m, plane_deg = uniform(rng, 0.9, 1.45, 4), uniform(rng, 42, 72, 2)
    x_mm, grass_mm = uniform(rng, -150, 150, 1), uniform(rng, 0, 3, 2)
    s, radius, plane = s_in * INCH, radius_m * 1000, math.radians(plane_deg)
    t = tangent_over(0.0, s, h_mm, radius, plane)
    start = end = entry = math.nan
    if -h_mm > grass_mm:
        start = crossing(-grass_mm, s, h_mm, radius, plane, -1)
        end = crossing(-grass_mm, s, h_mm, radius, plane, 1)
        entry = math.degrees(math.asin(tangent_over(start, s, h_mm, radius, plane)[2]))
    return {
        "s_in": s_in, "h_mm": h_mm, "radius_m": radius_m, "plane_deg": plane_deg,
        "x_mm": x_mm, "grass_mm": grass_mm,
        "attack_deg": math.degrees(math.asin(t[2])),
        "shift_deg": math.degrees(math.atan2(t[1], t[0])),
        "height_mm": height_over(x_mm, s, h_mm, radius, plane),
        "start_mm": start, "end_mm": end, "entry_deg": entry,
    }


# ---------------------------------------------------------------- the strike by meeting the ball


def rise(u, radius, plane):
    """Height of the arc over its low point at distance u along the base line."""
    return math.sin(plane) * radius * (1 - np.cos(np.arcsin(np.clip(u / radius, -1, 1))))


class Edge:
    """The edge on its way, and the window it is judged by; lengths in mm, angles in radians."""

    def __init__(self, s, radius, plane, loft, lead, contact, grass, heavy, fat):
        self.__dict__.update(locals())

    def z(self, x, h):
        return h + self.lead + rise(x - self.s, self.radius, self.plane)

    def meets(self, h):
        """Where the line of the face first touches the ball."""
        face = np.array([math.cos(self.loft), math.sin(self.loft)])  # its normal, to the target

        def gap(x):
            return float(np.dot(np.array([0.0, BALL]) - np.array([x, self.z(x, h)]), face)) - BALL

        return brentq(gap, -400.0, 400.0, xtol=1e-12)

    def turf(self, h):
        depth = -h - self.grass
        if depth <= 0:
            return 0.0
        half = brentq(lambda u: rise(u, self.radius, self.plane) - depth, 0, 0.9 * self.radius, xtol=1e-12)
        entry, leave = self.s - half, self.s + half
        return max(0.0, min(self.meets(h), leave) - entry)

    def limits(self):
        """Contact heights: the edge itself meets the ball; contact too low on the face."""
        blade = BALL - BALL * math.sin(self.loft)
        return blade, blade - self.contact * math.cos(self.loft)

    def judge(self, h):
        x = self.meets(h)
        z, turf = self.z(x, h), self.turf(h)
        blade, clean = self.limits()
        tests = [
            ("whiff", self.z(0.0, h) - 2 * BALL), ("topped", self.z(-BALL, h) - BALL),
            ("fat", turf - self.fat), ("heavy", turf - self.heavy), ("thin", z - clean),
        ]
        name = next((n for n, over in tests if over > 0), "clean")
        border = min(abs(over) for _, over in tests)
        if name == "thin":
            border = min(border, abs(z - blade))
        return {
            "class": name, "bladed": int(name == "thin" and z > blade),
            "rising": int(self.s < x), "turf_mm": turf, "edge_mm": z,
            "up_face_mm": (blade - z) / math.cos(self.loft), "x_mm": x, "border_mm": border,
        }


def drawn_edge(rng):
    values = {
        "s_in": uniform(rng, -4, 7, 3), "radius_m": uniform(rng, 0.95, 1.4, 4),
        "plane_deg": uniform(rng, 45, 66, 2), "loft_deg": uniform(rng, 8, 56, 2),
        "lead_mm": uniform(rng, 0, 4, 2), "contact_mm": uniform(rng, 4, 10, 2),
        "grass_mm": uniform(rng, 0, 4, 2), "heavy_mm": uniform(rng, 2, 10, 2),
        "fat_mm": uniform(rng, 15, 35, 2),
    }
    edge = Edge(
        values["s_in"] * INCH, values["radius_m"] * 1000, math.radians(values["plane_deg"]),
        math.radians(values["loft_deg"]), values["lead_mm"], values["contact_mm"],
        values["grass_mm"], values["heavy_mm"], values["fat_mm"],
    )
    return values, edge


def strike_case(rng):
    values, edge = drawn_edge(rng)
    h = uniform(rng, -18, 20, 2) if rng.random() < 0.8 else uniform(rng, 15, 48, 2)
    return {**values, "h_mm": h, **edge.judge(h)}


# ---------------------------------------------------------------- rates by thresholds found


def bisect(over, low, high):
    """Heights at which growing functions of the height pass nothing, all places at once."""
    for _ in range(60):
        middle = 0.5 * (low + high)
        up = over(middle) > 0
        high, low = np.where(up, middle, high), np.where(up, low, middle)
    return 0.5 * (low + high)


def threshold_heights(edge, places):
    """For each low point the heights between classes, by halving on the conditions themselves."""
    s, R, P = places, edge.radius, edge.plane
    low, high = np.full_like(s, -250.0), np.full_like(s, 250.0)
    tan = math.tan(edge.loft)
    touch = -BALL * math.tan(math.pi / 4 - edge.loft / 2)

    def meets(h):
        # The line of the face touches the ball where x + z tan L is the touch at turf level.
        a, b = np.full_like(s, -400.0), np.full_like(s, 400.0)
        return bisect(lambda x: x + (h + edge.lead + rise(x - s, R, P)) * tan - touch, a, b)

    def contact(h):
        x = meets(h)
        return h + edge.lead + rise(x - s, R, P)

    def cut(h):
        depth = np.maximum(-h - edge.grass, 0)
        half = bisect(lambda u: rise(u, R, P) - depth, np.zeros_like(s), np.full_like(s, 0.9 * R))
        half = np.where(depth > 0, half, 0)
        turf = np.minimum(meets(h), s + half) - (s - half)
        return np.where(depth > 0, np.maximum(turf, 0), 0)

    blade, clean = edge.limits()
    return {
        "whiff": bisect(lambda h: h + edge.lead + rise(0 - s, R, P) - 2 * BALL, low, high),
        "topped": bisect(lambda h: h + edge.lead + rise(-BALL - s, R, P) - BALL, low, high),
        "bladed": bisect(lambda h: contact(h) - blade, low, high),
        "thin": bisect(lambda h: contact(h) - clean, low, high),
        "heavy": bisect(lambda h: edge.heavy - cut(h), low, high),
        "fat": bisect(lambda h: edge.fat - cut(h), low, high),
    }


def over_scatter(chances_of, s, sd_s, h, sd_h, tail):
    share, wide_s, wide_h, lift = tail
    z = np.linspace(-6, 6, 401)
    weight = norm.pdf(z) / norm.pdf(z).sum()
    total = 0
    for part, a, b, up in ((1 - share, 1, 1, 0), (share, wide_s, wide_h, lift)):
        if part > 0:
            chances = chances_of(s + sd_s * a * z, lambda x: norm.cdf((x - h - up) / (sd_h * b)))
            total = total + part * np.array([np.dot(weight, c) for c in chances])
    return total


def drawn_tail(rng):
    share = uniform(rng, 0.02, 0.12, 3) if rng.random() < 0.6 else 0.0
    return {
        "tail": share, "tail_s": uniform(rng, 1, 2.4, 2), "tail_h": uniform(rng, 1.5, 5, 2),
        "lift_mm": uniform(rng, 0, 6, 2),
    }


def rates_case(rng):
    values, edge = drawn_edge(rng)
    values["s_in"] = uniform(rng, -1.5, 4.5, 3)
    spread = {
        "sd_s_in": uniform(rng, 0.3, 1.8, 3), "h_mm": uniform(rng, -9, 8, 2),
        "sd_h_mm": uniform(rng, 0.8, 6, 2), **drawn_tail(rng),
    }

    def chances(places, below):
        t = threshold_heights(edge, places)
        whiff = below(t["whiff"])
        top = np.minimum(below(t["topped"]), whiff)
        fat = np.minimum(below(t["fat"]), top)
        heavy = np.clip(below(t["heavy"]), fat, top)
        thin = np.clip(below(t["thin"]), heavy, top)
        bladed = np.clip(below(t["bladed"]), thin, top)
        return [1 - whiff, whiff - top, top - thin, top - bladed, thin - heavy, heavy - fat, fat]

    names = ("whiff", "topped", "thin", "bladed", "clean", "heavy", "fat")
    tail = [spread[k] for k in ("tail", "tail_s", "tail_h", "lift_mm")]
    sums = over_scatter(
        chances, values["s_in"] * INCH, spread["sd_s_in"] * INCH, spread["h_mm"], spread["sd_h_mm"], tail
    )
    return {**values, **spread, **dict(zip(names, sums))}


def teed_case(rng):
    v = {
        "s_in": uniform(rng, -5, 4, 3), "sd_s_in": uniform(rng, 0.8, 3, 3),
        "h_mm": uniform(rng, -6, 30, 2), "sd_h_mm": uniform(rng, 4, 12, 2), **drawn_tail(rng),
        "radius_m": uniform(rng, 1.1, 1.45, 4), "plane_deg": uniform(rng, 42, 58, 2),
        "loft_deg": uniform(rng, 8, 18, 2), "tee_mm": uniform(rng, 10, 45, 1),
    }
    R, P, L, tee = v["radius_m"] * 1000, math.radians(v["plane_deg"]), math.radians(v["loft_deg"]), v["tee_mm"]

    def chances(places, below):
        s = places
        low, high = np.full_like(s, -400.0), np.full_like(s, 400.0)
        edge = lambda h: h + rise(-12.0 - s, R, P)
        # How far above the middle of the face, 29 mm up, the ball is met.
        met = lambda h: (tee + BALL - BALL * math.sin(L) - edge(h)) / math.cos(L) - 29.0

        def ground(h):
            depth = -h - 1.0
            half = bisect(lambda u: rise(u, R, P) - np.maximum(depth, 0), np.zeros_like(s), np.full_like(s, 0.9 * R))
            return (depth > 0) & (s - half < -20.0)

        whiff = below(bisect(lambda h: edge(h) - tee - 2 * BALL, low, high))
        top = np.minimum(below(bisect(lambda h: edge(h) - tee - 0.9 * BALL, low, high)), whiff)
        touched = bisect(lambda h: np.where(ground(h), -1.0, 1.0), low, high)
        fat = np.minimum(below(np.minimum(touched, -7.0)), top)
        kick = np.clip(below(touched), fat, top)
        sky = np.clip(below(bisect(lambda h: 20.0 - met(h), low, high)), kick, top)
        low_face = np.clip(below(bisect(lambda h: -15.0 - met(h), low, high)), sky, top)
        return [1 - whiff, whiff - top, top - low_face, low_face - sky, sky - kick, kick - fat, fat]

    names = ("whiff", "topped", "low", "clean", "sky", "kick", "fat")
    sums = over_scatter(
        chances, v["s_in"] * INCH, v["sd_s_in"] * INCH, v["h_mm"], v["sd_h_mm"],
        [v[k] for k in ("tail", "tail_s", "tail_h", "lift_mm")],
    )
    return {**v, **dict(zip(names, sums))}


# ---------------------------------------------------------------- impact by rotations


def turned(axis, angle, vector):
    """Rodrigues' rotation of a vector about a unit axis."""
    return (
        vector * math.cos(angle) + np.cross(axis, vector) * math.sin(angle)
        + axis * np.dot(axis, vector) * (1 - math.cos(angle))
    )


def direction(azimuth, up):
    """The target direction raised, then turned to the push side."""
    raised = turned(np.array([0.0, -1.0, 0.0]), up, np.array([1.0, 0.0, 0.0]))
    return turned(np.array([0.0, 0.0, 1.0]), azimuth, raised)


def impact_case(rng):
    face, path = uniform(rng, -10, 10, 2), uniform(rng, -10, 10, 2)
    loft, attack = uniform(rng, 8, 58, 2), uniform(rng, -9, 6, 2)
    lie, club_mph = uniform(rng, -5, 5, 2), uniform(rng, 60, 120, 1)
    v = direction(math.radians(path), math.radians(attack))
    n = direction(math.radians(face), math.radians(loft))
    spin_loft = math.acos(float(np.clip(np.dot(v, n), -1, 1)))
    share = min(max(0.96 - 0.0071 * math.degrees(spin_loft), 0.5), 0.96)
    axis = np.cross(v, n) / np.linalg.norm(np.cross(v, n))
    ball = turned(axis, share * spin_loft, v)
    start = math.atan2(ball[1], ball[0])
    # The axis seen from behind the ball along its start.
    seen = turned(np.array([0.0, 0.0, 1.0]), -start, axis)
    normal = direction(0.0, math.radians(loft))
    tipped = turned(np.array([1.0, 0.0, 0.0]), -math.radians(lie), normal)
    return {
        "face_deg": face, "path_deg": path, "loft_deg": loft, "attack_deg": attack,
        "lie_deg": lie, "club_mph": club_mph,
        "spin_loft_deg": math.degrees(spin_loft), "launch_deg": math.degrees(math.asin(ball[2])),
        "start_deg": math.degrees(start), "tilt_deg": math.degrees(math.atan2(seen[2], -seen[1])),
        "push_deg": math.degrees(math.atan2(tipped[1], tipped[0])),
        "spin_rpm": 5 / 7 * club_mph * 0.44704 * math.sin(spin_loft) / (BALL / 1000) * 30 / math.pi,
        "ratio": 1.5 * math.cos(spin_loft),
    }


# ---------------------------------------------------------------- flight with error control


def air_of(celsius, altitude, humidity):
    pressure = 101325 * (1 - 2.25577e-5 * altitude) ** 5.25588
    kelvin = celsius + 273.15
    vapour = humidity * 611.21 * math.exp((18.678 - celsius / 234.5) * celsius / (257.14 + celsius))
    return (pressure - vapour) / (287.058 * kelvin) + vapour / (461.495 * kelvin), 1.716e-5 * (
        kelvin / 273.15
    ) ** 1.5 * (273.15 + 110.4) / (kelvin + 110.4)


def coefficients(model, s, reynolds):
    if model == "naruo":
        s = min(s, 1.13)
        return (
            np.polyval([0.7510, -1.760, 1.098, 0.2148, 0.2049], s),
            np.polyval([-0.2158, 1.006, -1.644, 1.250, 0.0616], s),
        )
    return 0.24 + 0.18 * s + 0.06 * math.sin(math.pi * (reynolds - 9e4) / 2e5), 0.54 * s**0.4


def flight_case(rng):
    model = "naruo" if rng.random() < 0.8 else "smits"
    drive = model == "smits"
    v = {
        "model": model,
        "mph": uniform(rng, 130, 170, 1) if drive else uniform(rng, 70, 175, 1),
        "launch_deg": uniform(rng, 8, 16, 2) if drive else uniform(rng, 6, 35, 2),
        "start_deg": uniform(rng, -8, 8, 2),
        "rpm": uniform(rng, 2500, 4000, 0) if drive else uniform(rng, 2300, 10000, 0),
        "tilt_deg": uniform(rng, -25, 25, 2), "celsius": uniform(rng, -5, 40, 1),
        "altitude_m": uniform(rng, 0, 2500, 0), "humidity": uniform(rng, 0, 1, 2),
        "tail_mph": uniform(rng, -15, 15, 1), "cross_mph": uniform(rng, -15, 15, 1),
    }
    rho, mu = air_of(v["celsius"], v["altitude_m"], v["humidity"])
    r, mass, g = BALL / 1000, 0.04593, 9.80665
    wind = np.array([v["tail_mph"], v["cross_mph"], 0.0]) * 0.44704
    start, tilt = math.radians(v["start_deg"]), math.radians(v["tilt_deg"])
    axis = turned(np.array([0.0, 0.0, 1.0]), start, np.array([0.0, -math.cos(tilt), math.sin(tilt)]))
    half = rho * math.pi * r * r / (2 * mass)

    def motion(_, y):
        u = y[3:6] - wind
        speed = np.linalg.norm(u)
        drag, lift = coefficients(model, r * y[6] / speed, speed * 2 * r * rho / mu)
        across = np.cross(axis, u)
        force = -half * drag * speed * u + half * lift * speed**2 * across / np.linalg.norm(across)
        return [*y[3:6], force[0], force[1], force[2] - g, -2e-5 * rho / 1.18 * speed * y[6] / r]

    def lands(_, y):
        return y[2]

    lands.terminal, lands.direction = True, -1

    def tops(_, y):
        return y[5]

    tops.direction = -1
    speed, spin = v["mph"] * 0.44704, v["rpm"] * math.pi / 30
    first = [0, 0, 0, *(speed * direction(start, math.radians(v["launch_deg"]))), spin]
    run = solve_ivp(motion, (0, 60), first, "DOP853", events=(lands, tops), rtol=1e-11, atol=1e-10)
    end, top = run.y_events[0][-1], run.y_events[1]
    return {
        **v, "carry_yd": math.hypot(end[0], end[1]) / 0.9144, "side_yd": end[1] / 0.9144,
        "apex_yd": top[-1][2] / 0.9144,
        "landing_deg": math.degrees(math.atan2(-end[5], math.hypot(end[3], end[4]))),
        "time_s": run.t_events[0][-1], "spin_left": end[6] / spin,
    }


# ---------------------------------------------------------------- files

MAKE = {
    "arc": arc_case, "strike": strike_case, "rates": rates_case, "teed": teed_case,
    "impact": impact_case, "flight": flight_case,
}


def shown(value):
    if isinstance(value, str):
        return value
    return "" if math.isnan(value) else f"{float(value):.11g}"


def case(kind, index):
    return {name: shown(value) for name, value in MAKE[kind](draws(kind, index)).items()}


def write(kind):
    rows = [case(kind, i) for i in range(CASES[kind])]
    HERE.mkdir(exist_ok=True)
    with open(HERE / f"geometry_{kind}.csv", "w", newline="") as file:
        table = csv.DictWriter(file, rows[0].keys(), lineterminator="\n")
        table.writeheader()
        table.writerows(rows)
    print(f"{kind}: {len(rows)} cases")


def same(a, b):
    if a == b:
        return True
    try:
        return math.isclose(float(a), float(b), rel_tol=1e-7, abs_tol=1e-8)
    except ValueError:
        return False


def check(kind, sample):
    with open(HERE / f"geometry_{kind}.csv", newline="") as file:
        committed = list(csv.DictReader(file))
    if len(committed) != CASES[kind]:
        print(f"{kind}: {len(committed)} cases in the file, {CASES[kind]} expected")
        return False
    count = min(sample or len(committed), len(committed))
    good = True
    for index in sorted({i * len(committed) // count for i in range(count)}):
        fresh = case(kind, index)
        for name, value in committed[index].items():
            if not same(fresh.get(name, "missing"), value):
                print(f"{kind}, case {index}: {name} is {fresh.get(name)}, the file has {value}")
                good = False
    print(f"{kind}: {count} cases {'agree' if good else 'DIFFER'}")
    return good


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--sample", type=int, metavar="N", help="only N cases of each kind")
    options.add_argument("--only", choices=KINDS, help="one kind of case")
    options.add_argument("--check", action="store_true", help="compare with the committed files")
    given = options.parse_args()
    kinds = [given.only] if given.only else KINDS
    if given.check:
        results = [check(kind, given.sample) for kind in kinds]
        sys.exit(0 if all(results) else 1)
    if given.sample:
        options.error("--sample needs --check")
    for kind in kinds:
        write(kind)


if __name__ == "__main__":
    main()
