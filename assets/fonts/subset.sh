#!/usr/bin/env bash
# Makes the two fonts beside this file anew: bash assets/fonts/subset.sh
# Needs Debian's fonts-dejavu-core (2.37-6 was used) and fonttools (4.68.0 was used).
set -euo pipefail
cd "$(dirname "$0")"
# Latin with its extensions, combining marks in common use, Greek, Cyrillic, Vietnamese, punctuation, raised and
# lowered figures, currencies, fractions, arrows, mathematics, boxes, blocks, shapes, ticks, braille, the unknown character
letters="U+0020-007E,U+00A0-024F,U+0259,U+02BB-02BD,U+02C6-02C7,U+02C9,U+02D8-02DD,U+0300-0304,U+0306-030C,U+0323,U+0327-0328,U+0370-03FF,U+0400-052F,U+1E00-1EFF"
signs="U+2000-200A,U+2010-2027,U+202F,U+2030-2044,U+2070-2079,U+207A-208E,U+20A0-20BF,U+2116,U+2122,U+2150-215E,U+2190-2199,U+21D0-21D4,U+2202,U+2206,U+2211-2212,U+2215,U+221A,U+221E,U+2248,U+2260,U+2264-2265,U+2300"
shapes="U+2500-257F,U+2580-259F,U+25A0-25FF,U+2605-2606,U+2610-2612,U+2640,U+2642,U+26A0,U+2713-2718,U+2794,U+27A1,U+2800-28FF,U+FFFD"
for face in DejaVuSans DejaVuSans-Bold; do
    pyftsubset "/usr/share/fonts/truetype/dejavu/$face.ttf" --output-file="$face.ttf" \
        --unicodes="$letters,$signs,$shapes" --name-IDs='*' --notdef-outline --no-hinting \
        --layout-features='' --drop-tables+=GDEF,GPOS,GSUB,MATH,kern,gasp
done
