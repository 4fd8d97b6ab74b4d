#!/bin/sh
# Writes the decks anew from the figures the devices resolve and follows them
# with ngspice, a general circuit simulator (made with version 39; Debian
# package `ngspice`): `pump-and-lamp` into amperes of pump and lamp, volts of
# the pump and speed of its shaft in rad/s at each moment of simulator.rs, and
# the pump's peak; `jammed-*` into the peak, the moment at which the fuse's heat
# reaches 1, and the winding's rise there. Run it from anywhere after a change of
# the circuits there or of the figures of devices, and look at the difference
# before keeping it.
set -eu
cd "$(dirname "$0")"
AMPKEEL_WRITE_DECKS=1 cargo test --quiet --test main the_decks_hold_the_figures_of_the_circuits
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# Runs a deck with more lines and keeps its figures.
followed() {
    { sed '/^\.end$/d' "$1.cir"; cat; echo '.end'; } >"$work/deck.cir"
    ngspice -b "$work/deck.cir" >"$work/out" 2>&1 || { cat "$work/out"; exit 1; }
    {
        printf '# ngspice %s\n' "$(ngspice --version | sed -n 's/^.*ngspice-\([0-9.]*\).*$/\1/p' | head -n 1)"
        sed -n 's/^\([ivw][pl][0-9]\|peak\|opens\|rise\) *= *\([-+0-9.e]*\).*$/\1 \2/p' "$work/out"
    } >"$1.txt"
}
{
    echo '.tran 1u 0.2 0 1u uic'
    number=0
    for moment in 0.5 1 2 4 8 16 32 64 150; do
        echo ".meas tran ip$number find i(vm) at=${moment}m"
        echo ".meas tran vp$number find v(pump) at=${moment}m"
        echo ".meas tran wp$number find v(w) at=${moment}m"
        echo ".meas tran il$number find i(vl) at=${moment}m"
        number=$((number + 1))
    done
    echo '.meas tran peak max i(vm)'
} | followed pump-and-lamp
for which in early middle late; do
    {
        echo '.options method=gear'
        echo '.tran 10u 2 0 20u uic'
        echo '.meas tran peak max i(vloop)'
        echo '.meas tran opens when v(u)=1'
        echo '.meas tran rise find v(rise) when v(u)=1'
    } | followed "jammed-$which"
done
