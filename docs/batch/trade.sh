#!/bin/sh
# One part of a sweep for each task of an array job: sbatch --array=1-16 trade.sh PROJECT FOLDER
# The program is `heatledger` on the path, or what HEATLEDGER names.
#SBATCH --job-name=trade
#SBATCH --cpus-per-task=1
set -eu
project=$1
folder=$2
task=$SLURM_ARRAY_TASK_ID
tasks=$SLURM_ARRAY_TASK_COUNT
for form in csv parquet; do
    "${HEATLEDGER:-heatledger}" sweep "$project" \
        --set "powertrain.bus.cell.resistance=10 mOhm..30 mOhm/11" --set "cores.battery radiator.transfer.height=200 mm..280 mm/9" \
        --show worst --show mass --shard "$task/$tasks" --overwrite "--$form" "$folder/part-$task.$form"
done
