#!/bin/bash
# Says which C files clang-format would change; one TAP line. With --write it changes them.
set -euo pipefail
cd "$(dirname "$0")/.."

folders=()
for folder in src solve demo tools tests bench; do
    if [ -d "$folder" ]; then
        folders+=("$folder")
    fi
done
mapfile -t files < <(find "${folders[@]}" -name '*.[ch]' -type f | sort)

if [ "${1:-}" = --write ]; then
    clang-format -i -- "${files[@]}"
    echo "Formatted ${#files[@]} files."
    exit 0
fi

echo 1..1
bad=0
for file in "${files[@]}"; do
    if ! difference=$(clang-format -- "$file" | cmp -- - "$file" 2>&1); then
        # The first changed line, so that an editor can jump to it.
        line=$(printf '%s' "$difference" | sed -n 's/.*line \([0-9][0-9]*\).*/\1/p')
        echo "$file:${line:-1}: not in the house format. Run ./dev format." >&2
        bad=$((bad + 1))
    fi
done
if [ "$bad" -ne 0 ] || [ "${#files[@]}" -eq 0 ]; then
    echo "not ok 1 - the C files stand in the house format"
    exit 1
fi
echo "ok 1 - the C files stand in the house format"
