#!/usr/bin/env python3
"""Checks animals.jsonl against CLIPS. usage: python3 animals.py (needs: pip install clipspy pyyaml)

Each line is one session with the rules of ../rule-programs/animals.yaml: what is told, what is
derived and by which rules, and what is left when one thing is not told. "absence" says that "does
not fly" is read as "nobody says it flies"; else it is a thing told. Prints what differs, and ends
with a failure if anything does.
"""
import json, os, sys
import clips, yaml

HERE = os.path.dirname(os.path.abspath(__file__))
RULES = yaml.safe_load(open(os.path.join(HERE, "..", "rule-programs", "animals.yaml")))["rules"]


def run(told, absence):
    env = clips.Environment()
    late = [r for r in RULES if {"no_fly": True} in r["when"]]
    for rule in RULES:
        tests = []
        for item in rule["when"]:
            (slot, _), = item.items()
            tests.append("(not (flies))" if slot == "no_fly" and absence else f"({slot})")
        (head, _), = rule["then"][0].items()
        first = 0 if rule in late else 10
        # A fact already there is not asserted again, so the firing rule leaves a mark as well.
        env.build(f"(defrule {rule['id']} (declare (salience {first})) {' '.join(tests)}"
                  f" => (assert ({head})) (assert (fired {rule['id']})))")
    env.reset()
    for fact in told:
        env.assert_string(f"({fact})")
    env.run()
    words = [str(f)[1:-1].split() for f in env.facts()]
    derived = sorted(w[0] for w in words if len(w) == 1 and w[0] not in told and w[0] != "initial-fact")
    return derived, sorted(w[1] for w in words if w[0] == "fired")


wrong = 0
for line in open(os.path.join(HERE, "animals.jsonl")):
    case = json.loads(line)
    checks = [(run(case["told"], case["absence"]), (case["derived"], case["rules"]))]
    for fact, left in case["without"].items():
        rest = [x for x in case["told"] if x != fact]
        checks.append((run(rest, case["absence"])[0], left))
    for found, expected in checks:
        if found != expected:
            wrong += 1
            print(case["name"], found, expected)
print("differences:", wrong)
sys.exit(wrong > 0)
