//! Where numbers stop being usual: laws of the limits in the knowledge.

use swingwhy::knowledge::{KnowledgeBase, Reached};
use swingwhy::quantity::Amount;
use swingwhy::vocabulary::{GroupId, LimitId, QuantityId};

use crate::support::base;

fn each(base: &KnowledgeBase) -> impl Iterator<Item = (LimitId, GroupId)> + '_ {
    (0..base.limits.len()).flat_map(|i| {
        (0..base.groups.len()).map(move |g| (LimitId::from_index(i), GroupId::from_index(g)))
    })
}

#[test]
fn a_number_further_out_has_gone_at_least_as_far() {
    let base = base();
    for (id, group) in each(&base) {
        let limit = base.limit(id);
        let loft = base.group(group).static_loft;
        let Some((sign, plain)) = limit.numbers(group, loft) else {
            continue;
        };
        let step = plain.base() - sign.base();
        assert!(step != 0.0, "{}", limit.id);
        let at = |k: f64| {
            let value = Amount::from_base(sign.base() + k * step, sign.dimension()).unwrap();
            limit.reached(value, group, loft)
        };
        assert_eq!(at(-0.01), Reached::Not, "{}", limit.id);
        assert_eq!(at(0.0), Reached::Sign, "{}", limit.id);
        assert_eq!(at(0.99), Reached::Sign, "{}", limit.id);
        assert_eq!(at(1.0), Reached::Plainly, "{}", limit.id);
        assert_eq!(at(5.0), Reached::Plainly, "{}", limit.id);
        // Both numbers are ones that golfers can have.
        let (low, high) = base.quantity(limit.of).plausible;
        for number in [sign, plain] {
            let plausible = low.base() <= number.base() && number.base() <= high.base();
            assert!(plausible, "{} {}", limit.id, base.group(group).id);
        }
    }
}

#[test]
fn between_two_limits_of_a_quantity_there_is_room_for_the_usual() {
    let base = base();
    for quantity in (0..base.quantities.len()).map(QuantityId::from_index) {
        for group in (0..base.groups.len()).map(GroupId::from_index) {
            let loft = base.group(group).static_loft;
            let limits = base.limits_of(quantity, group);
            let ends = |upward: bool| -> Vec<f64> {
                let of = limits.iter().map(|id| base.limit(*id));
                of.filter(|l| l.upward(group) == upward)
                    .map(|l| l.numbers(group, loft).unwrap().0.base())
                    .collect()
            };
            let (low, high) = (ends(false), ends(true));
            assert!(low.len() < 2 && high.len() < 2, "one limit a side");
            if let ([low], [high]) = (low.as_slice(), high.as_slice()) {
                assert!(low < high, "{}", base.quantity(quantity).id);
            }
        }
    }
}

#[test]
fn where_the_arc_of_a_good_strike_bottoms_is_usual() {
    let base = base();
    let low_point = base.find_quantity("low_point").unwrap();
    for group in (0..base.groups.len()).map(GroupId::from_index) {
        let (from, to) = base.group(group).good_low_point;
        let limits = base.limits_of(low_point, group);
        assert!(!limits.is_empty());
        for end in [Amount::from(from), Amount::from(to)] {
            for id in &limits {
                let gone = base
                    .limit(*id)
                    .reached(end, group, base.group(group).static_loft);
                assert_eq!(gone, Reached::Not, "{}", base.group(group).id);
            }
        }
    }
}
