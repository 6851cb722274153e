#!/bin/sh
# Makes the sample records again from their scripts, with the program as it is now: sample-sessions/make.sh
# They are signed with `sample-key`, a test key that everybody has: its signatures are worth nothing but as samples.
set -eu
cd "$(dirname "$0")"
cargo build --release --quiet
program=$(pwd)/../target/release/cornerset
store=$(mktemp -d)
trap 'rm -rf "$store"' EXIT
printf 'name = "sample-bench"\n' > "$store/bench.toml"
# A private key that others can read is refused, and a clone makes it readable.
cp sample-key "$store/key"
chmod 600 "$store/key"
for name in plain filter-stays-in linkwitz-riley-off-the-corner accepted-outside unknown-family wrong-label cone-decides; do
    # Exit code 1 is an accepted setting that is not inside: one of the samples is.
    "$program" --store "$store" --json set --key "$store/key" --script "$name.script" 2> /dev/null > "$store/events" || [ $? -eq 1 ]
    cp "$(sed -n 's/.*"event":"record".*"path":"\([^"]*\)".*/\1/p' "$store/events")" "$name.json"
done
# The first record once more, its accepted reading made to look right on the target.
mkdir -p tampered
sed -e 's/"volts": 5.66,/"volts": 5.65,/' plain.json > tampered/plain.json
! cmp -s plain.json tampered/plain.json
