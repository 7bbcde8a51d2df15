#!/bin/sh
# The second pass, once make.sh is done: sh again.sh SPEECH OUT [tiny]
#
# Each student goes on from what it learned, with the words that lie in OUT/packs by now and two new teachers that have not heard
# the speakers kept out: milder disturbances, half the learning rate. On four GPUs two cards for each student, on two one for each;
# with one only what ships goes on. TEACHING and STUDYING are the budgets in seconds. What make.sh learned is kept as
# OUT/first_*.npz, from which another run of this starts too. `tiny` goes on, on a CPU, with the teacher that there is.
set -eu
cd "$(dirname "$0")"
speech=$1 out=$2 plan=${3:-full}
teaching=${TEACHING:-400} studying=${STUDYING:-1100}
. ./stages.sh

for name in kept all; do
    [ -e "$out/first_$name.npz" ] || [ ! -e "$out/student_$name.npz" ] || cp "$out/student_$name.npz" "$out/first_$name.npz"
done
[ -e "$out/first_all.npz" ] || { echo "again.sh: $out/student_all.npz is not there: run make.sh first" >&2; exit 2; }
more=$(more_words)

# again GPU NAME FOLD SECONDS TEACHERS: a student goes on.
again() {
    train "$1" student "$2" "$3" "$4" --more "$more" --teachers "$5" --start "$out/first_$2.npz" --peak 1e-3 --trouble mild --drop 0.07
}

# The teachers' files of these names that there are, with commas between.
teachers() {
    found=
    for name in "$@"; do
        [ ! -e "$out/teacher_$name.npz" ] || found="$found,$out/teacher_$name.npz"
    done
    echo "${found#,}"
}

if [ "$plan" = tiny ]; then
    again "" all -1 600 "$(teachers kept)"
    write_out
    exit
fi

# new_teacher GPU NAME SEED
new_teacher() {
    train "$1" teacher "$2" 0 "$teaching" --prime "$out/prime.npz" --seed "$3"
}
if [ "$gpus" -ge 2 ]; then
    new_teacher 0 kept_3 21 & jobs=$!
    new_teacher 1 kept_4 22 & jobs="$jobs $!"
    all_of "$jobs"
else
    new_teacher 0 kept_3 21
    new_teacher 0 kept_4 22
fi

heard_less=$(teachers kept_3 kept_4 kept_too) everybody=$(teachers all all_too)
if [ "$gpus" -ge 2 ]; then
    again "$first_cards" kept 0 "$studying" "$heard_less" & jobs=$!
    again "$other_cards" all -1 "$studying" "$heard_less${everybody:+,$everybody}" & jobs="$jobs $!"
    all_of "$jobs"
else
    again 0 all -1 "$studying" "$heard_less${everybody:+,$everybody}"
fi
write_out
