//! Circuits made up by number, from four wires to sixty.

use std::fmt::Write;

/// A small generator of its own: the same numbers on every machine.
pub(super) struct Numbers(u64);

impl Numbers {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// A number below `limit`.
    pub(super) fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) % limit
    }

    /// A number from 0 to 1.
    pub(super) fn share(&mut self) -> f64 {
        self.below(1 << 40) as f64 / (1u64 << 40) as f64
    }
}

/// A circuit with at least three and at most `wires` wires: loads behind
/// fuses, switches, relays and plugs, their returns on one of two studs.
pub(super) fn circuit(seed: u64, wires: usize) -> String {
    let mut numbers = Numbers::new(seed);
    let mut parts = String::from(
        "format = 1\n[battery.house]\ncold-cranking = \"500 A\"\nminus = \"ground\"\n\
         [stud.ground]\n[stud.bar]\n[stud.post]\n[fuse.main]\nstyle = \"strip\"\nrating = \"60 A\"\n",
    );
    let mut runs = String::new();
    wire(&mut runs, "house.plus", "main.in", &mut numbers);
    wire(&mut runs, "main.out", "post", &mut numbers);
    wire(&mut runs, "bar", "ground", &mut numbers);
    let mut count = 3;
    let mut load = 0;
    while count + 2 <= wires || load == 0 {
        let room = wires.saturating_sub(count);
        load += 1;
        let mut chain = vec!["post".to_owned()];
        let mut extra = Vec::new();
        if room >= 3 && numbers.below(3) > 0 {
            let _ = write!(
                parts,
                "[fuse.f{load}]\nstyle = \"blade\"\nrating = \"5 A\"\n"
            );
            chain.extend([format!("f{load}.in"), format!("f{load}.out")]);
        }
        if room >= 4 && numbers.below(2) > 0 {
            let _ = writeln!(parts, "[switch.s{load}]");
            chain.extend([format!("s{load}.in"), format!("s{load}.out")]);
        }
        if room >= 7 && numbers.below(3) == 0 {
            let _ = writeln!(parts, "[relay.r{load}]\n[switch.k{load}]");
            extra.push(("post".to_owned(), format!("k{load}.in")));
            extra.push((format!("k{load}.out"), format!("r{load}.86")));
            extra.push((format!("r{load}.85"), "bar".to_owned()));
            chain.extend([format!("r{load}.30"), format!("r{load}.87")]);
        }
        let _ = write!(parts, "[load.l{load}]\ncurrent = \"1 A\"\n");
        chain.push(format!("l{load}.plus"));
        let ground = if numbers.below(4) == 0 {
            "ground"
        } else {
            "bar"
        };
        extra.push((format!("l{load}.minus"), ground.to_owned()));
        for pair in chain.chunks(2) {
            if let [from, to] = pair {
                wire(&mut runs, from, to, &mut numbers);
                count += 1;
            }
        }
        for (from, to) in extra {
            wire(&mut runs, &from, &to, &mut numbers);
            count += 1;
        }
        // Now and then a wire across, so that not everything is a tree.
        if load > 2 && count < wires && numbers.below(5) == 0 {
            let other = 1 + numbers.below(load - 1);
            wire(
                &mut runs,
                &format!("l{load}.plus"),
                &format!("l{other}.plus"),
                &mut numbers,
            );
            count += 1;
        }
    }
    parts + &runs
}

fn wire(runs: &mut String, from: &str, to: &str, numbers: &mut Numbers) {
    let colours = ["", "colour = \"red\"\n", "colour = \"black-yellow\"\n"];
    let colour = colours[numbers.below(3) as usize];
    let _ = write!(
        runs,
        "[[wire]]\nfrom = \"{from}\"\nto = \"{to}\"\nsize = \"14 AWG\"\nlength = \"{} m\"\n{colour}",
        1 + numbers.below(9)
    );
}
