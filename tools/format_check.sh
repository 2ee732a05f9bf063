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
# All files in one go: to start clang-format takes six times as long as to look at a file. It names
# each place as file:line:column, so that an editor can jump to it.
if [ "${#files[@]}" -eq 0 ] || ! clang-format --dry-run --Werror -- "${files[@]}"; then
    echo "# Run ./dev format."
    echo "not ok 1 - the C files stand in the house format"
    exit 1
fi
echo "ok 1 - the C files stand in the house format"
