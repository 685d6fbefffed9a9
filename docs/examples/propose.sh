#!/bin/sh
# On a build server, for a proposed change: check the records, and compare it with where it left the main branch.
#
#   sh propose.sh [MAIN]      MAIN is the branch that takes the change in: main, unless given
#
# Writes comparison.md, to be posted as a comment, and comparison.json. Ends with
#   0  nothing stands against the change
#   1  something newly does not conform, or a past visit was edited, inserted or deleted
#   2  a record, a rule set or a revision could not be used, or history is missing

main=${1:-main}
homes=${HOMES:-homes}

# Build servers like to fetch one commit only; the comparison needs those back to where the change began.
if [ "$(git rev-parse --is-shallow-repository)" = true ]; then git fetch --quiet --unshallow origin; fi
git fetch --quiet origin "+refs/heads/$main:refs/remotes/origin/$main"
base=$(git merge-base "refs/remotes/origin/$main" HEAD) || {
    echo "No commit is known that this change and $main have in common; fetch the whole history first." >&2
    exit 2
}

asfitted check --homes "$homes"
checked=$?
asfitted compare --all "$base" HEAD --homes "$homes" --format markdown > comparison.md
asfitted compare --all "$base" HEAD --homes "$homes" --format json --exit-code > comparison.json
compared=$?

# What fell short before the change and still does is no matter of the change: 1 from check is not passed on.
if [ $checked -gt 1 ] || [ $compared -gt 1 ]; then exit 2; fi
exit $compared
