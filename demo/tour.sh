#!/bin/bash
# The main job on the invented plant, from the order file to a shipped lot and back from one case to its seed, each step's outcome in
# plain words. Usage: demo/tour.sh PLUMULE FOLDER (a plant that `plumule demo` made with yesterday as its last day).
set -euo pipefail
plumule=$1
export PLUMULE_PLANT=$2 PLUMULE_PASSWORD_FILE=$2/password PLUMULE_LANG=en # as what is said here
printf 'radicle-and-plumule\n' > "$PLUMULE_PASSWORD_FILE"

say() { printf '\n== %s\n' "$*"; }
as() { "$plumule" --as "$@"; }
ago() { date -d "-$1 min" +%FT%T%:z; }
first() { sed -n "1,$1p"; }

say "The order book as the shop sends it: what is new, changed, already known"
as 8 import orders "$(ls "$PLUMULE_PLANT"/files/orders-*.csv | tail -n 1)" --source shop --try | first 6

say "What to soak, in which chamber, of which seed, and what will be short and why"
as 8 plan --seconds 5 --take | first 90 | grep -vE '^  (starts|taken)' || true

say "In which order today's chambers go through the lines, and how each truck stands"
as 8 plan --day "$(date +%F)" | first 60

say "Chamber C-20 is ready. The lines are cleaned, it is harvested, washed, trimmed, rinsed, sorted; the wash water is read before and after"
for place in W-1 T-1 W-2 S-1 P-1; do
    as 10 record clean place=$place start="$(ago 25)" end="$(ago 5)" agent="chlorine sanitiser" strength="150 mg/L" contact="120 s" \
        rinsed=yes inspected=pass | first 1
done
water() { for place in W-1 W-2; do as 6 record water-reading place=$place chlorine="$1 mg/L" ph=6.8 temp="10 C" instrument=CL-1 | first 1; done; }
water 36.4
as 6 record harvest chamber=C-20 share=rest mass="851 kg" instrument=SC-1 place=W-1 lot_out=SHOWN-H
as 6 record wash place=W-1 in=SHOWN-H out=main,"822 kg",SHOWN-W out=hulls,"46 kg"
as 6 record trim place=T-1 in=SHOWN-W out=main,"703 kg",SHOWN-T out=roots,"107 kg"
as 6 record rinse place=W-2 in=SHOWN-T out=main,"711 kg",SHOWN-R
water 33.8
as 6 record sort place=S-1 in=SHOWN-R out=main,"689 kg",SHOWN-S out=culls,"21 kg"
as 2 record moisture-check lot=SHOWN-S moisture="1.8 %" instrument=MM-1

say "Metal check, weighing and packing, metal check, label, cold room"
as 6 record metal-check place=P-1 fe=rejected non_fe=rejected steel=rejected instrument=MD-1
as 6 record pack item=M250 lot=SHOWN in=SHOWN-S pieces=2720 mean_net="252.2 g" cases=136 place=P-1 markets=house
as 6 record metal-check place=P-1 fe=rejected non_fe=rejected steel=rejected instrument=MD-1
"$plumule" label SHOWN --out "$PLUMULE_PLANT/labels.pdf" --cases 1..4
best_before=$("$plumule" --json lots --kind packed | grep '"SHOWN"' | grep -o '"day":"[^"]*"' | cut -d'"' -f4)
as 6 record label-check lot=SHOWN item=M250 lot_code=SHOWN best_before="$(date -d "$best_before +7 days" +%F)" net="250 g" allergens=
as 6 record store lot=SHOWN place=CR-1

say "May it leave? Not yet: the record names the clause that is missing"
if as 2 release SHOWN --market house; then
    echo "a lot was released without its reviews" >&2
    exit 1
fi
"$plumule" release SHOWN --market house --show | grep -A 1 ' unmet' | grep -v '^--' | first 6 || true

say "Quality reviews what others recorded, and releases"
as 2 review --sign | tail -n 3
as 2 release SHOWN --market house

say "Forty cases leave for a customer"
as 11 record ship customer=RADICLE-1 units=SHOWN-0001..SHOWN-0040

say "Back from one case to its seed, and who else has some of the lot"
"$plumule" trace SHOWN-0007 --back

say "The positive some weeks ago: what was held, who was told (scope of the batch's seed lot)"
"$plumule" hold list | grep -i positive | first 12 || echo "This plant had none."

say "Every kilogram of the lot"
"$plumule" balance SHOWN

say "Is the record whole? Every entry replayed and compared"
"$plumule" verify
printf '\nThe labels are in %s.\n' "$PLUMULE_PLANT/labels.pdf"
