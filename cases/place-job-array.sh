#!/bin/sh
# The pieces of a search shared out over a cluster with Slurm, as a job array:
#
#   sbatch cases/place-job-array.sh cases/brace-places.toml places
#
# and when all are done:
#
#   stillbox merge places/candidates-*-of-*.csv --out places
#   stillbox place cases/brace-places.toml --out places        # finds all candidates there, checks and reports
#
# Pieces, not candidates, are shared out: one per line of candidates between obstacles. More jobs than pieces do nothing.
# A job that was killed goes on where it stopped when it is submitted again.
#SBATCH --job-name=stillbox-place
#SBATCH --array=1-4
#SBATCH --cpus-per-task=2
#SBATCH --mem=4G
set -eu
: "${SLURM_ARRAY_TASK_ID:=1}" "${SLURM_ARRAY_TASK_MAX:=1}"
export OPENBLAS_NUM_THREADS="${SLURM_CPUS_PER_TASK:-2}"
exec stillbox place "$1" --out "$2" --share "$SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_MAX"
