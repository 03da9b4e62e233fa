#!/usr/bin/env python3
"""Random rule programs and what CLIPS concludes from them -> rules_clips.jsonl.

usage: python3 rules_clips.py          (needs: pip install clipspy)

One program a line: "rules" (each [when, then] in the form of the knowledge files), "facts" told as
[pattern, slot, value], "derived" (what CLIPS adds), "without" (a fact told, by its place) and
"after" (what CLIPS adds when that fact is not told). Seeds are fixed.

CLIPS knows no strata, so each rule waits for a fact (stage k), asserted once nothing more can fire
below stratum k; within a stratum rules are monotone. "after" is a fresh run: CLIPS keeps facts that
hold each other up in a circle, our engine must not.
"""
import json, os, random
import clips

PROGRAMS, LEVELS, SYMBOLS, PATTERNS = 360, 3, "abc", 4
HERE = os.path.dirname(os.path.abspath(__file__))


def draw_range(rng):
    at = rng.choice([1, 2, 3, 4])
    kind = rng.choice(["above", "below", "at_least", "at_most", "between"])
    return {kind: [at, at + 2]} if kind == "between" else {kind: at}


def draw_condition(rng, level, bound):
    """One item of `when`; slots that must be settled come from below `level`."""
    on = rng.choice(["p", "p", "p", "q"])
    here, below = rng.randint(0, level), rng.randint(0, level - 1) if level else None
    item = {} if on == "p" else {"on": on}
    kind = rng.choice(["flag", "flag", "sort", "sort", "bind", "bind", "num", "unknown", "lacks",
                       "not", "count", "mean", "same", "different", "any"])
    if kind in ("unknown", "lacks", "not", "count", "mean") and below is None:
        kind = "flag"
    if kind == "flag":
        item[f"flag{here}"] = rng.random() < 0.85
    elif kind == "sort":
        item[f"sort{here}"] = sorted(rng.sample(SYMBOLS, rng.choice([1, 1, 2])))
    elif kind == "bind":
        item[rng.choice([f"name{here}", f"sort{here}"])] = "known"
        item["as"] = rng.choice("vw")
        bound.append(item["as"])
    elif kind == "num":
        item["num"] = draw_range(rng)
    elif kind == "unknown":
        item[rng.choice([f"flag{below}", f"sort{below}", f"name{below}"])] = "unknown"
    elif kind in ("lacks", "not"):
        item[f"sort{below}"] = {kind: rng.choice(SYMBOLS)}
    elif kind == "count":
        item = {"count": {"slot": f"flag{below}", "is": True}, **draw_range(rng)}
    elif kind == "mean":
        item = {"mean": "num", **draw_range(rng)}
    elif kind == "same":
        item = {"on": "q", "same": f"sort{here}"}
    elif kind == "different":
        item = {"on": "q", "different": "p"}
    else:
        item = {"any": [{f"flag{here}": True}, [{f"sort{here}": ["a"]}, {"num": {"above": 2}}]]}
    return item


def draw_rule(rng):
    level = rng.randint(0, LEVELS - 1)
    bound = []
    when = [draw_condition(rng, level, bound) for _ in range(rng.randint(1, 4))]
    then = []
    for _ in range(rng.randint(1, 2)):
        on = {"on": "q"} if any(i.get("on") == "q" for i in when) and rng.random() < 0.3 else {}
        kind = rng.choice(["flag", "sort", "name"])
        if kind == "flag":
            then.append({f"flag{level}": rng.random() < 0.9, **on})
        elif kind == "sort":
            then.append({f"sort{level}": rng.choice(SYMBOLS), **on})
        elif bound:
            then.append({f"name{level}": {"value_of": rng.choice(bound)}, **on})
        else:
            then.append({f"name{level}": "zed", **on})
    return [when, then]


def draw_facts(rng):
    facts = []
    for pattern in range(rng.randint(1, PATTERNS)):
        for _ in range(rng.randint(1, 5)):
            level = rng.choice([0, 0, 0, 1, 2])
            kind = rng.choice(["flag", "flag", "sort", "name", "num"])
            if kind == "num":
                fact = [pattern, "num", rng.choice([1, 1.5, 2, 3, 4, 5.5])]
                if any(f[0] == pattern and f[1] == "num" for f in facts):
                    continue
            elif kind == "flag":
                fact = [pattern, f"flag{level}", rng.random() < 0.85]
            else:
                fact = [pattern, f"{kind}{level}", rng.choice(SYMBOLS)]
            if fact not in facts:
                facts.append(fact)
    return facts


# ---- our form -> CLIPS

RESERVED = {"on", "as", "different", "same", "count", "mean", "any",
            "above", "below", "at_least", "at_most", "between"}
TESTS = {"above": ">", "below": "<", "at_least": ">=", "at_most": "<="}


def range_test(x, limits):
    tests = [f"({TESTS[k]} {x} {v})" for k, v in limits.items() if k in TESTS]
    if "between" in limits:
        low, high = limits["between"]
        tests = [f"(>= {x} {low})", f"(<= {x} {high})"]
    return f"(and {' '.join(tests)} TRUE)"


def word(v):
    return {True: "true", False: "false"}.get(v, v) if isinstance(v, bool) else v


def translate(items, fresh):
    """(positive conditions, conditions for the end), each a list, for each way through `any`."""
    ways = [([], [], set())]
    for item in items:
        on = item.get("on", "p")
        if "any" in item:
            found = []
            for alternative in item["any"]:
                inner = alternative if isinstance(alternative, list) else [alternative]
                found += translate(inner, fresh)
        else:
            positive, late, named = [], [], set()
            if "different" in item:
                late.append(f"(test (neq ?{on} ?{item['different']}))")
                named |= {on, item["different"]}
            if "same" in item:
                fresh[0] += 1
                for who in (on, "p"):
                    positive.append((who, f"(f (p ?{who}) (s {item['same']}) (v ?s{fresh[0]}))"))
            if "count" in item:
                c = item["count"]
                count = (f"(length$ (find-all-facts ((?f f)) (and (eq ?f:s {c['slot']})"
                         f" (eq ?f:v {word(c['is'])}))))")
                late.append(f"(test {range_test(count, item)})")
            if "mean" in item:
                late.append(f"(test (and (> (count-of {item['mean']}) 0)"
                            f" {range_test('(mean-of ' + item['mean'] + ')', item)}))")
            for slot, test in item.items():
                if slot in RESERVED:
                    continue
                fact = lambda v: f"(f (p ?{on}) (s {slot}) (v {v}))"
                if test == "known":
                    positive.append((on, fact("?" + item["as"]) if "as" in item else fact("?")))
                elif test == "unknown":
                    late.append(f"(not {fact('?')})")
                    named.add(on)
                elif isinstance(test, bool):
                    positive.append((on, fact(word(test))))
                elif isinstance(test, list):
                    positive.append((on, fact("|".join(test))))
                elif "lacks" in test or "not" in test:
                    if "not" in test:
                        positive.append((on, fact("?")))
                    late.append(f"(not {fact(test.get('lacks') or test.get('not'))})")
                    named.add(on)
                else:
                    fresh[0] += 1
                    x = f"?x{fresh[0]}"
                    positive.append((on, fact(f"{x}&:{range_test(x, test)}")))
            found = [(positive, late, named)]
        ways = [(a + x, b + y, c | z) for a, b, c in ways for x, y, z in found]
    return ways


def slots_of(items, needs):
    """Slots that items look at; with needs, those that must be settled."""
    out = []
    for item in items:
        for alternative in item.get("any", []):
            out += slots_of(alternative if isinstance(alternative, list) else [alternative], needs)
        if "same" in item and not needs:
            out.append(item["same"])
        if "count" in item:
            out.append(item["count"]["slot"])
        if "mean" in item:
            out.append(item["mean"])
        for slot, test in item.items():
            if slot in RESERVED:
                continue
            settled = test == "unknown" or slot == "num" or (
                isinstance(test, dict) and ("lacks" in test or "not" in test))
            if settled or not needs:
                out.append(slot)
    return out


def strata(rules):
    level = {}
    for _ in range(100):
        changed = False
        for when, then in rules:
            least = max([level.get(s, 0) for s in slots_of(when, False)]
                        + [level.get(s, 0) + 1 for s in slots_of(when, True)] + [0])
            for item in then:
                for slot in item:
                    if slot != "on" and level.get(slot, 0) < least:
                        level[slot] = least
                        changed = True
        if not changed:
            return level
    raise ValueError("no strata")


def to_clips(rules):
    level = strata(rules)
    top = max(list(level.values()) + [0])
    out = ["(deftemplate f (slot p) (slot s) (slot v))",
           "(deffunction count-of (?s) (length$ (find-all-facts ((?f f)) (eq ?f:s ?s))))",
           "(deffunction mean-of (?s) (bind ?t 0.0) (do-for-all-facts ((?f f)) (eq ?f:s ?s)"
           " (bind ?t (+ ?t ?f:v))) (/ ?t (count-of ?s)))"]
    for k in range(1, top + 1):
        out.append(f"(defrule stage{k} (declare (salience {-10 * k + 5})) (stage {k - 1})"
                   f" => (assert (stage {k})))")
    number = 0
    for when, then in rules:
        for item in then:
            on = item.get("on", "p")
            slot, value = next((s, v) for s, v in item.items() if s != "on")
            value = f"?{value['value_of']}" if isinstance(value, dict) else word(value)
            for positive, late, named in translate(when, [0]):
                have = {who for who, _ in positive}
                here = [f"(f (p ?{x}) (s here) (v yes))" for x in sorted((named | {on}) - have)]
                lhs = " ".join([f"(stage {level.get(slot, 0)})"] + here + [c for _, c in positive] + late)
                out.append(f"(defrule r{number} (declare (salience {-10 * level.get(slot, 0)})) {lhs}"
                           f" => (assert (f (p ?{on}) (s {slot}) (v {value}))))")
                number += 1
    return out


def run(constructs, facts):
    env = clips.Environment()
    for c in constructs:
        env.build(c)
    env.reset()
    template = env.find_template("f")
    told = set()
    for p, s, v in facts:
        v = float(v) if s == "num" else clips.Symbol(word(v))
        template.assert_fact(p=p, s=clips.Symbol(s), v=v)
        told.add((p, s, str(v)))
    for p in sorted({f[0] for f in facts}):
        template.assert_fact(p=p, s=clips.Symbol("here"), v=clips.Symbol("yes"))
    env.assert_string("(stage 0)")
    env.run()
    out = []
    for fact in env.facts():
        if fact.template.name == "f":
            row = (fact["p"], str(fact["s"]), str(fact["v"]))
            if row[1] != "here" and row not in told:
                out.append(list(row))
    return sorted(out)


def bound_everywhere(rule):
    """False if some way through the rule leaves a variable of its conclusions unbound."""
    when, then = rule
    names = {v["value_of"] for i in then for v in i.values() if isinstance(v, dict)}
    return names <= {i["as"] for i in when if "as" in i}


def main():
    rng = random.Random(20_261)
    lines, derived, gone = [], 0, 0
    while len(lines) < PROGRAMS:
        rules = [draw_rule(rng) for _ in range(rng.randint(2, 10))]
        facts = draw_facts(rng)
        if not all(bound_everywhere(r) for r in rules):
            continue
        constructs = to_clips(rules)
        found = run(constructs, facts)
        if not found and rng.random() < 0.8:
            continue
        for _ in range(5):
            without = rng.randrange(len(facts))
            after = run(constructs, facts[:without] + facts[without + 1:])
            if after != found:
                break
        derived += len(found)
        gone += found != after
        lines.append(json.dumps({"rules": rules, "facts": facts, "derived": found,
                                 "without": without, "after": after}, separators=(",", ":")))
    with open(os.path.join(HERE, "rules_clips.jsonl"), "w") as f:
        f.write("\n".join(lines) + "\n")
    print(f"{len(lines)} programs, {derived} derived facts, {gone} change when one fact is not told")


main()
