//! Random networks against an independent solution: modified nodal analysis with explicit source currents
//! (Ho, Ruehli and Brennan 1975), junctions as an ideal exponential diode with an inner node, dense LU
//! factorisation by nalgebra, Newton with source stepping and junction limiting written here, and the
//! standard library's exp and powf. Then Kirchhoff's law and the power balance, put back.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::disallowed_methods,
    reason = "the independent solution may use the platform's maths"
)]

#[path = "shared/random.rs"]
mod random;

use loomwright::network::{Element, Network};
use loomwright::solve::Solver;
use nalgebra::{DMatrix, DVector};
use random::Random;

/// A branch law in the terms of its published formula.
#[derive(Clone, Copy, Debug)]
enum Law {
    Resistor(f64),
    Source {
        emf: f64,
        ohms: f64,
    },
    Limited {
        emf: f64,
        ohms: f64,
        amps: f64,
        leak: f64,
    },
    /// One of the three straight pieces of a limited source: i = g·u + amps.
    Piece {
        siemens: f64,
        amps: f64,
    },
    Filament {
        volts: f64,
        amps: f64,
    },
    Junction {
        is: f64,
        vt: f64,
        ohms: f64,
        leak: f64,
    },
}

struct Case {
    nodes: usize,
    branches: Vec<(usize, usize, Law)>,
}

const COLD: f64 = 13.5;

impl Law {
    fn element(self) -> Element {
        match self {
            Law::Resistor(ohms) => Element::resistor(ohms),
            Law::Source { emf, ohms } => Element::source(emf, ohms),
            Law::Limited {
                emf,
                ohms,
                amps,
                leak,
            } => Element::limited(emf, ohms, amps, leak),
            // Only the independent solution is made of pieces.
            Law::Piece { .. } => Element::Absent,
            Law::Filament { volts, amps } => Element::filament(volts, amps, COLD),
            Law::Junction { is, vt, ohms, leak } => Element::junction(is, vt, ohms, leak),
        }
    }
}

/// A connected network: a spanning tree first, then more branches, one source at least.
fn random_case(r: &mut Random) -> Case {
    let nodes = 2 + r.below(9);
    let mut branches = Vec::new();
    let extra = r.below(2 * nodes);
    for i in 0..nodes - 1 + extra {
        let (a, b) = if i + 1 < nodes {
            (i + 1, r.below(i + 1))
        } else {
            let a = r.below(nodes);
            (a, (a + 1 + r.below(nodes - 1)) % nodes)
        };
        let law = match if i == 0 { 0 } else { r.below(17) / 2 } {
            8 => Law::Limited {
                emf: 48.0 * r.unit() - 8.0,
                ohms: r.log(2e-3, 2.0),
                amps: r.log(0.05, 60.0),
                leak: r.log(1e-9, 1e-5),
            },
            0 => Law::Source {
                emf: 48.0 * r.unit() - 8.0,
                ohms: r.log(2e-3, 2.0),
            },
            1..=3 => Law::Resistor(r.log(2e-3, 1e4)),
            4 | 5 => Law::Filament {
                volts: r.log(6.0, 28.0),
                amps: r.log(0.05, 5.0),
            },
            _ => Law::Junction {
                is: r.log(1e-12, 1e-5),
                vt: 0.02585 * (1.0 + r.unit()),
                ohms: r.log(2e-3, 1.0),
                leak: r.log(1e-9, 1e-5),
            },
        };
        let (a, b) = if r.below(2) == 0 { (a, b) } else { (b, a) };
        branches.push((a, b, law));
    }
    Case { nodes, branches }
}

/// Node voltages by the independent method; `None` if its Newton does not settle.
///
/// Limited sources are solved by trying every combination of their straight pieces until each lies on its own
/// (Chua, Desoer and Kuh, Linear and Nonlinear Circuits, 1987, piecewise-linear analysis).
fn independent(case: &Case) -> Option<Vec<f64>> {
    let limited: Vec<usize> = (0..case.branches.len())
        .filter(|&i| matches!(case.branches[i].2, Law::Limited { .. }))
        .collect();
    (0..3_usize.pow(limited.len() as u32)).find_map(|choice| {
        let mut pieces = case.branches.clone();
        let choices = limited.iter().enumerate();
        let choices = choices.map(|(k, &i)| (i, choice / 3_usize.pow(k as u32) % 3));
        for (i, piece) in choices.clone() {
            if let Law::Limited {
                emf,
                ohms,
                amps,
                leak,
            } = case.branches[i].2
            {
                let (siemens, limit) = match piece {
                    0 => (leak + 1.0 / ohms, 0.0),
                    1 => (leak, -amps),
                    _ => (leak, 0.0),
                };
                pieces[i].2 = Law::Piece {
                    siemens,
                    amps: limit - siemens * emf,
                };
            }
        }
        let volts = smooth(&Case {
            nodes: case.nodes,
            branches: pieces,
        })?;
        let fits = choices
            .into_iter()
            .all(|(i, piece)| match case.branches[i] {
                (
                    a,
                    b,
                    Law::Limited {
                        emf, ohms, amps, ..
                    },
                ) => {
                    let given = (emf - (volts[a] - volts[b])) / ohms;
                    match piece {
                        0 => (0.0..=amps).contains(&given),
                        1 => given > amps,
                        _ => given < 0.0,
                    }
                }
                _ => false,
            });
        fits.then_some(volts)
    })
}

/// Node voltages where no source is limited.
fn smooth(case: &Case) -> Option<Vec<f64>> {
    let n = case.nodes - 1;
    let sources = case
        .branches
        .iter()
        .filter(|b| matches!(b.2, Law::Source { .. }))
        .count();
    let junctions = case
        .branches
        .iter()
        .filter(|b| matches!(b.2, Law::Junction { .. }))
        .count();
    let size = n + sources + junctions;
    let mut x = DVector::<f64>::zeros(size);
    let steps = [0.02, 0.1, 0.25, 0.5, 0.75, 1.0];
    for share in steps {
        let mut settled = false;
        for _ in 0..400 {
            let mut jacobian = DMatrix::<f64>::zeros(size, size);
            let mut f = DVector::<f64>::zeros(size);
            let volts = |i: usize, x: &DVector<f64>| if i == 0 { 0.0 } else { x[i - 1] };
            let (mut source, mut inner) = (n, n + sources);
            let mut limits: Vec<(usize, usize, f64, f64)> = Vec::new();
            let add = |j: &mut DMatrix<f64>, row: usize, col: usize, g: f64| {
                if row != usize::MAX && col != usize::MAX {
                    j[(row, col)] += g;
                }
            };
            let idx = |node: usize| node.wrapping_sub(1);
            for &(a, b, law) in &case.branches {
                let u = volts(a, &x) - volts(b, &x);
                let mut conduct = |a: usize, b: usize, i: f64, g: f64| {
                    for (row, sign) in [(a, 1.0), (b, -1.0)] {
                        if row != usize::MAX {
                            f[row] += sign * i;
                        }
                        add(&mut jacobian, row, a, sign * g);
                        add(&mut jacobian, row, b, -sign * g);
                    }
                };
                match law {
                    Law::Resistor(ohms) => conduct(idx(a), idx(b), u / ohms, 1.0 / ohms),
                    // `independent` has put a piece in its place.
                    Law::Limited { .. } => return None,
                    Law::Piece { siemens, amps } => {
                        conduct(idx(a), idx(b), siemens * u + amps * share, siemens);
                    }
                    Law::Filament { volts, amps } => {
                        // Conductance (x² + δ²)^−0.225, 13.5 times larger cold than at rating.
                        let delta2 = 1.0 / (COLD.powf(1.0 / 0.225) - 1.0);
                        let g0 = amps / volts * (1.0 + delta2).powf(0.225);
                        let y = (u / volts).powi(2) + delta2;
                        let g = g0 * y.powf(-0.225);
                        conduct(
                            idx(a),
                            idx(b),
                            g * u,
                            g * (1.0 - 0.45 * (u / volts).powi(2) / y),
                        );
                    }
                    Law::Junction { is, vt, ohms, leak } => {
                        conduct(idx(a), idx(b), leak * u, leak);
                        let m = x[inner];
                        let r = (volts(a, &x) - m) / ohms;
                        conduct(idx(a), inner, r, 1.0 / ohms);
                        let d = m - volts(b, &x);
                        let e = (d / vt).min(250.0).exp();
                        conduct(inner, idx(b), is * (e - 1.0), is / vt * e);
                        limits.push((inner, b, vt, is));
                        inner += 1;
                    }
                    Law::Source { emf, ohms } => {
                        // Unknown current j from + to −: u − emf·share − ohms·j = 0.
                        let j = x[source];
                        for (row, sign) in [(idx(a), 1.0), (idx(b), -1.0)] {
                            if row != usize::MAX {
                                f[row] += sign * j;
                                jacobian[(row, source)] += sign;
                                jacobian[(source, row)] += sign;
                            }
                        }
                        f[source] += u - emf * share - ohms * j;
                        jacobian[(source, source)] -= ohms;
                        source += 1;
                    }
                }
            }
            let step = jacobian.lu().solve(&(-&f))?;
            // Junction limiting: no forward junction may rise by more than a few thermal volts at once.
            let mut scale = 1.0_f64;
            for &(m, b, vt, is) in &limits {
                let at = |v: &DVector<f64>| v[m] - if b == 0 { 0.0 } else { v[b - 1] };
                let (now, change) = (at(&x), at(&step));
                let knee = vt * (vt / (2.0_f64.sqrt() * is)).ln();
                if change > 4.0 * vt && now + change > knee {
                    let room = (knee - now).max(4.0 * vt);
                    scale = scale.min(room / change);
                }
            }
            x += &step * scale;
            if scale == 1.0 && step.amax() < 1e-11 * (1.0 + x.amax()) {
                settled = true;
                break;
            }
        }
        if !settled {
            return None;
        }
    }
    let mut volts = vec![0.0];
    volts.extend(x.iter().take(n));
    Some(volts)
}

#[test]
fn hundred_thousand_random_networks_agree_and_balance() {
    let mut r = Random(20);
    let (mut compared, mut unsettled, mut iterations) = (0, 0, 0);
    for case_no in 0..101_000 {
        let case = random_case(&mut r);
        let mut net = Network::new(case.nodes, 0);
        for &(a, b, law) in &case.branches {
            net.add(a as u32, b as u32, law.element());
        }
        let point = Solver::new(&net).solve(&net);
        assert!(
            point.converged,
            "case {case_no}: {:?}\n{point:?}",
            case.branches
        );
        iterations = iterations.max(point.iterations);

        // Kirchhoff's current law at every node and the balance of power over the whole network.
        let largest = point.amps.iter().fold(0.0_f64, |m, i| m.max(i.abs()));
        let mut sums = vec![0.0; case.nodes];
        let (mut power, mut gross) = (0.0, 0.0_f64);
        for (&(a, b, _), &amps) in case.branches.iter().zip(&point.amps) {
            sums[a] += amps;
            sums[b] -= amps;
            let watts = amps * point.drop(a as u32, b as u32).unwrap();
            power += watts;
            gross = gross.max(watts.abs());
        }
        let bound = 1e-9_f64.max(1e-9 * largest);
        assert!(
            sums.iter().all(|s| s.abs() <= 2.0 * bound),
            "case {case_no}: {sums:?}"
        );
        assert!(
            power.abs() <= 1e-8 * gross + 1e-7,
            "case {case_no}: {power} of {gross}"
        );

        let Some(volts) = independent(&case) else {
            unsettled += 1;
            continue;
        };
        // A node that hangs on a junction at rest alone is known no better than the rounding of the largest
        // current over that junction's conductance.
        let weakest = case
            .branches
            .iter()
            .fold(1.0_f64, |weakest, branch| match branch.2 {
                Law::Junction { is, vt, leak, .. } => weakest.min(leak + is / vt),
                Law::Limited { leak, .. } => weakest.min(leak),
                _ => weakest,
            });
        let rounding = f64::EPSILON * largest / weakest;
        // The solver stops where Newton leaves half a nanovolt.
        let span = volts.iter().fold(0.5_f64, |m, v| m.max(v.abs()));
        for (node, v) in volts.iter().enumerate() {
            let got = point.volts(node as u32).unwrap();
            assert!(
                (got - v).abs() <= 1e-9 * span + rounding,
                "case {case_no} node {node}: {got} and {v}\n{:?}",
                case.branches
            );
        }
        compared += 1;
    }
    println!(
        "{compared} compared, {unsettled} not settled by the other method, {iterations} steps at most"
    );
    assert!(compared >= 100_000, "only {compared} could be compared");
}

/// Ohms of a member of a chain, and whether it lies against it.
type Link = (f64, bool);

/// Every resistor of a random network as a chain of some, lying either way: the voltages at the old nodes are the same,
/// inside the chains they follow Ohm's law, and the same current runs through each member. With one member open, all is
/// as without the chain, and what is left of it hangs on its ends.
#[test]
fn chains_of_resistors_are_one_resistor() {
    let mut r = Random(7);
    let (mut chains_seen, mut opened) = (0, 0);
    for case_no in 0..3000 {
        let case = random_case(&mut r);
        let mut net = Network::new(case.nodes, 0);
        let mut long = Network::new(case.nodes, 0);
        // Branch of the short network, first of the long one, ohms and whether it lies against the chain.
        let mut chains: Vec<(usize, usize, Vec<Link>)> = Vec::new();
        let mut single: Vec<(usize, usize)> = Vec::new();
        for &(a, b, law) in &case.branches {
            let short = net.add(a as u32, b as u32, law.element());
            let Law::Resistor(ohms) = law else {
                single.push((short, long.add(a as u32, b as u32, law.element())));
                continue;
            };
            let members = 1 + r.below(4);
            let shares: Vec<f64> = (0..members).map(|_| 0.1 + r.unit()).collect();
            let sum: f64 = shares.iter().sum();
            let mut node = a as u32;
            let mut chain = Vec::new();
            for (at, share) in shares.iter().enumerate() {
                let next = if at + 1 == members {
                    b as u32
                } else {
                    long.nodes += 1;
                    long.nodes as u32 - 1
                };
                let (ohms, against) = (ohms * share / sum, r.below(2) == 0);
                let (from, to) = if against { (next, node) } else { (node, next) };
                long.add(from, to, Element::resistor(ohms));
                chain.push((ohms, against));
                node = next;
            }
            chains.push((short, long.branches.len() - members, chain));
        }
        let mut solver = Solver::new(&long);
        let mut point = Default::default();
        for open in [false, true] {
            let (mut net, mut long) = (net.clone(), long.clone());
            if open {
                let Some((short, first, chain)) = chains.get(r.below(chains.len().max(1))) else {
                    continue;
                };
                net.branches[*short].element = Element::Absent;
                long.branches[first + r.below(chain.len())].element = Element::Absent;
                opened += 1;
            }
            let short = Solver::new(&net).solve(&net);
            solver.solve_into(&long, &mut point);
            assert!(point.converged && short.converged, "case {case_no}");
            let span = (0..case.nodes as u32)
                .filter_map(|node| short.volts(node))
                .fold(0.5_f64, |m, v| m.max(v.abs()));
            let largest = short.amps.iter().fold(0.0_f64, |m, i| m.max(i.abs()));
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-8 * span + 1e-6 * largest;
            for node in 0..case.nodes as u32 {
                match (short.volts(node), point.volts(node)) {
                    (None, None) => {}
                    (Some(a), Some(b)) => assert!(near(a, b), "case {case_no}: {a} and {b}"),
                    other => panic!("case {case_no} node {node}: {other:?}"),
                }
            }
            let amps = |a: f64, b: f64| (a - b).abs() <= 1e-6 * largest + 1e-9;
            for &(a, b) in &single {
                assert!(amps(short.amps[a], point.amps[b]), "case {case_no}");
            }
            for (of, first, chain) in &chains {
                chains_seen += 1;
                for (member, &(ohms, against)) in chain.iter().enumerate() {
                    let b = &long.branches[first + member];
                    let i = point.amps[first + member];
                    let along = if against { -i } else { i };
                    assert!(amps(short.amps[*of], along), "case {case_no}");
                    if b.element.is_present() {
                        let drop = point.across(b.from, b.to);
                        let floats = [b.from, b.to].map(|node| point.volts(node).is_none());
                        assert!((drop - ohms * i).abs() <= 1e-12 * span + 1e-9 * drop.abs());
                        assert_eq!(floats[0], floats[1], "case {case_no}");
                    }
                }
            }
        }
    }
    assert!(
        chains_seen > 10_000 && opened > 2500,
        "{chains_seen} {opened}"
    );
}

/// A ring of resistors that hangs on nothing, a pair of wires to a node without anything else, and a resistor that
/// becomes a diode after the order was worked out.
#[test]
fn chains_without_ends_and_chains_that_change() {
    let mut net = Network::new(8, 0);
    net.add(1, 0, Element::source(12.0, 0.5));
    for (a, b) in [(2, 3), (3, 4), (4, 2), (1, 5), (5, 1)] {
        net.add(a, b, Element::resistor(1.0));
    }
    let [first, second, third] =
        [(1, 6), (6, 7), (7, 0)].map(|(a, b)| net.add(a, b, Element::resistor(0.5)));
    let mut solver = Solver::new(&net);
    let mut point = Default::default();
    solver.solve_into(&net, &mut point);
    assert!(point.converged);
    for branch in [first, second, third] {
        assert!((point.amps[branch] - 6.0).abs() < 1e-9);
    }
    let volts = [1, 5, 6, 7].map(|node| point.volts(node).expect("it is joined"));
    for (got, volts) in volts.into_iter().zip([9.0, 9.0, 6.0, 3.0]) {
        assert!((got - volts).abs() < 1e-9, "{got} and {volts}");
    }
    assert_eq!([2, 3, 4].map(|node| point.volts(node)), [None; 3]);

    net.branches[second].element = Element::junction(1e-9, 0.05, 0.01, 1e-9);
    solver.reset();
    solver.solve_into(&net, &mut point);
    let fresh = Solver::new(&net).solve(&net);
    assert!(point.converged && fresh.converged);
    assert!((point.amps[second] - fresh.amps[second]).abs() < 1e-9);
    // 12 V less about 50 mV·ln(7 A/1 nA) over 1.51 Ω.
    assert!((point.amps[second] - 7.2).abs() < 0.1);
    assert!((point.amps[second] - point.amps[first]).abs() < 1e-8);
}

/// Lamps fed over diodes from rails that are switched in turn: what no rail feeds hangs on blocking diodes, and what a
/// rail has fed last is far from where it is now. Newton alone comes down every exponential by one thermal voltage a step.
#[test]
fn diodes_that_change_sides_take_few_steps() {
    let (rails, lamps) = (6, 6);
    let mut net = Network::new(2 + rails + lamps, 0);
    net.add(1, 0, Element::source(12.6, 0.008));
    let contacts: Vec<usize> = (0..rails)
        .map(|rail| net.add(1, 2 + rail as u32, Element::resistor(0.02)))
        .collect();
    for lamp in 0..lamps {
        let node = (2 + rails + lamp) as u32;
        net.add(node, 0, Element::filament(12.8, 1.8, 13.5));
        for rail in [lamp, (lamp + 1) % rails, (lamp + 3) % rails] {
            net.add(
                2 + rail as u32,
                node,
                Element::junction(76.9e-9, 0.0525, 0.0422, 1e-7),
            );
        }
    }
    let mut solver = Solver::new(&net);
    let mut point = Default::default();
    let (mut most, mut sum) = (0, 0);
    for turn in 0..64_u32 {
        // Reflected Gray code: one contact at a time.
        let state = turn ^ (turn >> 1);
        let mut now = net.clone();
        for (rail, &contact) in contacts.iter().enumerate() {
            if state >> rail & 1 == 0 {
                now.branches[contact].element = Element::Absent;
            }
        }
        solver.solve_into(&now, &mut point);
        assert!(point.converged);
        (most, sum) = (point.iterations.max(most), sum + point.iterations);
        let fresh = Solver::new(&now).solve(&now);
        for node in 0..now.nodes as u32 {
            let [a, b] = [&point, &fresh].map(|point| point.volts(node).expect("joined"));
            assert!(
                (a - b).abs() < 1e-7,
                "state {state} node {node}: {a} and {b}"
            );
        }
    }
    assert!(most <= 16 && sum <= 6 * 64, "{most} at most, {sum} in all");
}

/// Parts of a network that hang in the air get no voltage, and an isolated loop still carries its current.
#[test]
fn floating_parts_are_reported() {
    let mut net = Network::new(7, 0);
    net.add(1, 0, Element::source(12.0, 0.01));
    net.add(1, 0, Element::resistor(12.0));
    net.add(1, 2, Element::Absent);
    let hanging = net.add(2, 3, Element::resistor(1.0));
    net.add(5, 4, Element::source(6.0, 1.0));
    let loop_current = net.add(5, 4, Element::resistor(5.0));
    let point = Solver::new(&net).solve(&net);
    assert!(point.converged);
    assert!(point.volts(1).is_some_and(|v| (v - 11.99).abs() < 0.001));
    assert_eq!([2, 3, 4, 5, 6].map(|node| point.volts(node)), [None; 5]);
    assert!(point.amps[hanging].abs() < 1e-12);
    assert!((point.amps[loop_current] - 1.0).abs() < 1e-9);
    assert_eq!(point.volts(99), None);
}

/// A battery loop of its own that touches the main circuit now at one node, now at another: its currents are
/// the same and recalled, its voltages follow the node that is touched.
#[test]
fn a_recalled_loop_takes_the_voltage_of_the_node_it_touches() {
    let mut net = Network::new(5, 0);
    net.add(1, 0, Element::source(12.0, 0.01));
    net.add(1, 0, Element::resistor(12.0));
    // The loop: 6 V behind 1 Ω, 5 Ω; 5 V from node 3 to node 2.
    net.add(3, 2, Element::source(6.0, 1.0));
    net.add(3, 2, Element::resistor(5.0));
    let plus = net.add(1, 3, Element::resistor(0.1));
    let minus = net.add(1, 2, Element::resistor(0.1));
    let mut solver = Solver::new(&net);
    let mut point = Default::default();
    let main = 12.0 * 12.0 / 12.01;
    for (open, expected) in [
        (minus, [main - 5.0, main]),
        (plus, [main, main + 5.0]),
        (minus, [main - 5.0, main]),
    ] {
        let mut now = net.clone();
        now.branches[open].element = Element::Absent;
        solver.solve_into(&now, &mut point);
        assert!(point.converged);
        for (node, volts) in [2, 3].into_iter().zip(expected) {
            let got = point.volts(node).expect("it is joined to the datum");
            assert!((got - volts).abs() < 1e-9, "node {node}: {got} and {volts}");
        }
    }
}

/// Networks without nodes, without branches, with branches into nowhere: solved, not refused.
#[test]
fn degenerate_networks_are_solved() {
    for nodes in 0..3 {
        let mut net = Network::new(nodes, 0);
        assert!(Solver::new(&net).solve(&net).converged);
        net.add(0, 0, Element::resistor(1.0));
        net.add(0, 9, Element::source(12.0, 1.0));
        net.add(7, 9, Element::resistor(1.0));
        let point = Solver::new(&net).solve(&net);
        assert!(point.converged);
        assert!(point.amps.iter().all(|&i| i == 0.0));
    }
}
