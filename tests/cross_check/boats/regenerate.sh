#!/bin/sh
# Writes the decks anew from the example circuits and solves them with ngspice,
# a general circuit simulator (made with version 39; Debian package `ngspice`).
# Run it from anywhere after a change to the circuits, the figures of devices,
# or the branches of the network, and look at the difference before keeping it.
#
# NAME.cir holds every state of circuits/NAME.toml (and circuits/devices) as a
# list of branches; laws.lib holds their laws. What is open is left out, so an
# open contact is exactly open; each connected part has one grounded node.
# NAME.txt holds the volts of each terminal and the amperes of each branch.
set -eu
cd "$(dirname "$0")"

# Stopping tolerances far below the 1e-6 the test asks for; no conductance added.
# abstol is what 16 digits of 12 V leave over a joint of 0.1 mohm, and a margin.
# Where plain Newton steps end nowhere, other ways to the same point are tried:
# conductances everywhere that are taken away in steps, another order of pivots.
options='.options reltol=1e-9 vntol=1e-10 abstol=1e-9 gmin=1e-18 itl1=5000'

AMPKEEL_WRITE_DECKS=1 cargo test --quiet --test main decks_hold_the_branches_of_every_example_circuit

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp laws.lib "$work"
for deck in *.cir; do
    name=${deck%.cir}
    result=$name.txt
    printf '# ngspice %s\n' "$(ngspice --version | sed -n 's/^.*ngspice-\([0-9.]*\).*$/\1/p' | head -n 1)" >"$result"
    rm -f "$work"/state-*
    awk -v work="$work" '/^\* state /{n++; file = sprintf("%s/state-%02d.cir", work, n)} file {print > file}' "$deck"
    for state in "$work"/state-*.cir; do
        state_name=$(sed -n '1s/^\* state //p' "$state")
        rm -f "$work/run.raw"
        for way in '' noopiter pivrel=0.9; do
            [ -s "$work/run.raw" ] && break
            # The first line is the title; the deck ends where the next state begins.
            {
                sed -n 1p "$state"
                echo '.include laws.lib'
                echo "$options $way"
                sed 1d "$state"
                printf '%s\n' .control op 'set filetype=ascii' 'write run.raw' .endc .end
            } >"$work/run.cir"
            (cd "$work" && ngspice -b run.cir >run.log 2>&1) || true
        done
        [ -s "$work/run.raw" ] || {
            echo "$name, state $state_name: not solved" >&2
            exit 1
        }
        # Variables are listed first, then their values in the same order, the
        # first of them behind the number of the point.
        awk -v state="$state_name" '
            /^Variables:/ { part = "names"; next }
            /^Values:/ { part = "values"; next }
            part == "names" { names[$1] = $2 }
            part == "values" && NF {
                name = names[row++]; value = $NF
                if (name ~ /^i\(v\.x[0-9]+\.vs\)$/) {
                    split(name, piece, "."); print state, "amperes", substr(piece[2], 2), value
                } else if (name ~ /^[a-z0-9_]+$/ || name ~ /^v\([a-z0-9_]+\)$/) {
                    gsub(/^v\(|\)$/, "", name); gsub(/__/, ".", name); gsub(/_/, "-", name)
                    print state, "volts", name, value
                }
            }
        ' "$work/run.raw" | LC_ALL=C sort -k2,2 -k3,3V >"$work/rows"
        cat "$work/rows" >>"$result"
    done
done
