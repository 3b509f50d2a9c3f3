#!/bin/bash
# One shard of a study for each job of GNU parallel.
#
#   parallel.sh STUDY PARTS SHARDS [PARALLEL-OPTION...]
#   parallel.sh stock parts 8
#   parallel.sh stock /shared/parts 64 --sshloginfile hosts
#
# STUDY is a file or the name of a study, PARTS a folder that all machines see. Given
# again after a failure it does what is missing: a shard that is done is done at once.
# Each job takes one core; options before the jobs are parallel's own.
set -eu
study=$1 parts=$2 shards=$3
shift 3
exec parallel --jobs 100% "$@" pipelag study "$study" --out "$parts" --shard "{}/$shards" --workers 1 ::: $(seq 1 "$shards")
