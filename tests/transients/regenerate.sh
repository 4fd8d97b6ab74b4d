#!/bin/sh
# Writes pump-and-lamp.cir anew from the figures the devices resolve and follows
# it with ngspice, a general circuit simulator (made with version 39; Debian
# package `ngspice`), into pump-and-lamp.txt: amperes of pump and lamp, volts of
# the pump and speed of its shaft in rad/s at each moment of simulator.rs, and
# the pump's peak. Run it from anywhere after a change of the circuit there or
# of the figures of devices, and look at the difference before keeping it.
set -eu
cd "$(dirname "$0")"
AMPKEEL_WRITE_DECKS=1 cargo test --quiet --test main the_deck_holds_the_figures_of_the_circuit
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
{
    sed '/^\.end$/d' pump-and-lamp.cir
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
    echo '.end'
} >"$work/deck.cir"
ngspice -b "$work/deck.cir" >"$work/out" 2>&1 || { cat "$work/out"; exit 1; }
{
    printf '# ngspice %s\n' "$(ngspice --version | sed -n 's/^.*ngspice-\([0-9.]*\).*$/\1/p' | head -n 1)"
    sed -n 's/^\([ivw][pl][0-9]\|peak\) *= *\([-+0-9.e]*\).*$/\1 \2/p' "$work/out"
} >pump-and-lamp.txt
