#!/usr/bin/env bash
# Counts the instructions of each operation and holds them against the record, benches/counts.txt:
# fails where one is more than 5 % above it. `--record` writes a new record.
set -euo pipefail
cd "$(dirname "$0")/.."
record=benches/counts.txt
if ! command -v valgrind >/dev/null; then
    echo "valgrind is not there: no instruction is counted"
    exit 0
fi
export CARGO_PROFILE_BENCH_LTO=off
built=$(cargo bench --locked --no-default-features --bench instructions --no-run 2>&1) || { echo "$built"; exit 1; }
binary=$(sed -n 's/.*Executable .*(\(.*\))/\1/p' <<<"$built")

collected() {
    valgrind --tool=callgrind --callgrind-out-file=/dev/null "$binary" "$1" "$2" 2>&1 |
        sed -n 's/.*Collected : //p'
}

# Operations with the repetitions that are counted: the difference of one more and one.
operations="reference:10 cross_section:100 hatchery:50 deep:50 cases:1 points:1 points_one_by_one:1 air_for:20
    peak:2 curve:2 interval_curve:2 sizing:1 header:1 manifold:1 optimum:1 cycle:1 loop_day:1 trial:1"
counted=""
worse=0
better=0
for entry in $operations; do
    operation=${entry%:*}
    times=${entry#*:}
    low=$(collected "$operation" 1)
    high=$(collected "$operation" $((times + 1)))
    now=$(((high - low) / times))
    counted+="$operation $now"$'\n'
    before=$(awk -v o="$operation" '$1 == o { print $2 }' "$record" 2>/dev/null || true)
    if [ -z "$before" ]; then
        echo "$operation $now, no record"
        continue
    fi
    echo "$operation $now, $(awk -v a="$now" -v b="$before" 'BEGIN { printf "%.3f", a / b }') of the record"
    if [ $((100 * now)) -gt $((105 * before)) ]; then worse=1; fi
    if [ $((100 * now)) -lt $((95 * before)) ]; then better=1; fi
done

if [ "${1:-}" = --record ]; then
    { echo "# $(rustc --version), $(uname -m), without link-time optimisation"; printf '%s' "$counted"; } >"$record"
    echo "written: $record"
    exit 0
fi
if [ $better = 1 ]; then
    echo "better than the record: benches/counts.sh --record writes a new one"
fi
if [ $worse = 1 ]; then
    echo "more than 5 % above the record"
    exit 1
fi
