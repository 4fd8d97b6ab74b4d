//! A circuit of sixty wires: three fuse blocks on a shared feed and return,
//! six loads on each.

use std::fmt::Write;

/// The text of its file; every figure is invented.
pub(crate) fn text() -> String {
    let mut text = String::from(
        "format = 1\n[battery.house]\ncold-cranking = \"700 A\"\nminus = \"ground\"\n\
         [stud.ground]\n[stud.bus]\n[stud.feed]\n\
         [fuse.main]\nstyle = \"strip\"\nrating = \"100 A\"\nin = \"house.plus\"\n\
         [defaults.wire]\nsize = \"8 AWG\"\ninsulation = \"105 degC\"\n\
         [[run]]\nthrough = [\"main.out\", \"feed\"]\nlengths = [\"5 ft\"]\n\
         back = [\"bus\", \"ground\"]\nback-lengths = [\"5 ft\"]\nsize = \"2 AWG\"\n",
    );
    let mut closed = [Vec::new(), Vec::new()];
    for block in 0..3 {
        let slots: Vec<String> = (0..6).map(|slot| format!("s{slot} = \"10 A\"")).collect();
        writeln!(
            text,
            "[fuse-block.block-{block}]\nstyle = \"blade\"\nslots = {{ {} }}\n[stud.bus-{block}]\n\
             [[run]]\nthrough = [\"feed\", \"block-{block}.feed\"]\nlengths = [\"{} ft\"]\n\
             back = [\"bus-{block}\", \"bus\"]\nback-lengths = [\"{} ft\"]\nsize = \"4 AWG\"",
            slots.join(", "),
            4 + 3 * block,
            5 + 3 * block
        )
        .expect("written");
        for slot in 0..6 {
            let name = format!("load-{block}-{slot}");
            let law = match slot % 3 {
                0 => format!("current = \"{}.{} A\"", 1 + slot / 2, block),
                1 => format!("lamp = \"{} W\"", 8 + 6 * block + slot),
                _ => format!("power = \"{} W\"", 12 + 5 * block + slot),
            };
            writeln!(
                text,
                "[switch.switch-{block}-{slot}]\n[load.{name}]\n{law}\n\
                 [[run]]\nthrough = [\"block-{block}.s{slot}\", \"switch-{block}-{slot}\", \"{name}.plus\"]\n\
                 lengths = [\"{} ft\", \"{} ft\"]\nback = [\"{name}.minus\", \"bus-{block}\"]\nback-lengths = [\"{} ft\"]",
                1 + slot % 2,
                4 + 2 * slot + block,
                5 + 2 * slot + block
            )
            .expect("written");
            closed[0].push(format!("\"switch-{block}-{slot}\""));
            if (block + slot) % 2 == 0 {
                closed[1].push(format!("\"switch-{block}-{slot}\""));
            }
        }
    }
    for (state, closed) in ["all", "some"].into_iter().zip(closed) {
        writeln!(text, "[state.{state}]\nclosed = [{}]", closed.join(", ")).expect("written");
    }
    text
}
