#!/bin/bash
# run.sh PROGRAM NAME FOLDER SECONDS
# Replays corpus/NAME through a fuzz target, then lets it look for new inputs for some seconds. New
# inputs and whatever breaks it are kept under FOLDER, never among the known ones. Prints TAP.
set -euo pipefail

program=$1 name=$2 found=$3/$2 seconds=$4
corpus=$(dirname "$0")/corpus/$name
limits=(-timeout=10 -rss_limit_mb=1024)

mkdir -p "$found/new"
log=$found/log.txt
result=0

report() { # NUMBER WHAT STATUS
    if [ "$3" -eq 0 ]; then
        echo "ok $1 - $name $2"
    else
        tail -n 60 "$log" | sed 's/^/# /'
        echo "not ok $1 - $name $2"
        result=1
    fi
}

echo 1..2
status=0
inputs=$(find "$corpus" -type f 2>/dev/null | wc -l) || true
if [ "$inputs" -eq 0 ]; then
    echo "$corpus holds no input" > "$log"
    status=1
else
    "$program" "${limits[@]}" -runs=0 -artifact_prefix="$found/" "$corpus" > "$log" 2>&1 || status=$?
fi
report 1 "takes its $inputs known inputs" "$status"

status=0
"$program" "${limits[@]}" -max_total_time="$seconds" -print_final_stats=1 \
    -artifact_prefix="$found/" "$found/new" "$corpus" > "$log" 2>&1 || status=$?
report 2 "takes $seconds s of new inputs" "$status"
exit "$result"
