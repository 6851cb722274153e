#!/bin/sh
# Makes the sample records again from their scripts, with the program as it is now: sample-sessions/make.sh
set -eu
cd "$(dirname "$0")"
cargo build --release --quiet
program=$(pwd)/../target/release/cornerset
store=$(mktemp -d)
trap 'rm -rf "$store"' EXIT
printf 'name = "sample-bench"\n' > "$store/bench.toml"
for name in plain filter-stays-in linkwitz-riley-off-the-corner accepted-outside unknown-family wrong-label cone-decides; do
    # Exit code 1 is an accepted setting that is not inside: one of the samples is.
    "$program" --store "$store" --json set --script "$name.script" 2> /dev/null > "$store/events" || [ $? -eq 1 ]
    cp "$(sed -n 's/.*"event":"record".*"path":"\([^"]*\)".*/\1/p' "$store/events")" "$name.json"
done
