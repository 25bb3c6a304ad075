#!/usr/bin/env bash
# Runs docs/batch/trade.sh as an array job on a scheduler of this machine alone, joins the parts and compares them with one run.
#
# Needs slurm-wlm and munge (Debian), python3 with duckdb, and root: nothing stays running afterwards.
# Usage: docs/batch/try.sh PROGRAM PROJECT
set -euo pipefail
program=$(realpath "$1")
project=$2
[ -e "$project" ] && project=$(realpath "$project")
here=$(realpath "$(dirname "${BASH_SOURCE[0]}")")
D=$(mktemp -d)
mkdir -p "$D"/{etc,run,log,state,spool,parts}
chmod 755 "$D" "$D"/*
(umask 077 && head -c 1024 /dev/urandom >"$D/etc/munge.key")
host=$(hostname -s)
cat >"$D/etc/slurm.conf" <<CONF
ClusterName=one
SlurmctldHost=$host(127.0.0.1)
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
AuthInfo=socket=$D/run/munge.socket
StateSaveLocation=$D/state
SlurmdSpoolDir=$D/spool
SlurmctldPidFile=$D/run/slurmctld.pid
SlurmdPidFile=$D/run/slurmd.pid
SlurmctldLogFile=$D/log/slurmctld.log
SlurmdLogFile=$D/log/slurmd.log
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
MpiDefault=none
ReturnToService=2
SchedulerParameters=sched_interval=1,batch_sched_delay=0
JobCompType=jobcomp/filetxt
JobCompLoc=$D/log/jobs.txt
NodeName=$host NodeAddr=127.0.0.1 CPUs=$(nproc) RealMemory=1000 State=UNKNOWN
PartitionName=all Nodes=ALL Default=YES MaxTime=INFINITE State=UP
CONF
end() {
    for pid in "$D"/run/{slurmd,slurmctld,munged}.pid; do [ -e "$pid" ] && kill "$(cat "$pid")" 2>/dev/null; done
    sleep 3
    rm -rf "$D"
}
trap end EXIT
munged --force --key-file="$D/etc/munge.key" --socket="$D/run/munge.socket" --pid-file="$D/run/munged.pid" \
    --log-file="$D/log/munged.log" --seed-file="$D/run/munge.seed"
export SLURM_CONF=$D/etc/slurm.conf HEATLEDGER=$program
slurmctld -c
slurmd
for _ in $(seq 100); do [ "$(sinfo -h -o %T)" = idle ] && break || sleep 0.2; done

echo "array job of 6 tasks:"
sbatch --wait --array=1-6 --output="$D/log/task-%a.out" "$here/trade.sh" "$project" "$D/parts" || echo "a task failed"
cat "$D"/log/task-*.out | sed "s|$D/||"
awk '{ for (i = 1; i <= NF; i++) if ($i ~ /^(JobState|ExitCode)=/) printf "%s ", $i; print "" }' "$D/log/jobs.txt" | sort | uniq -c

echo "parts joined by the program, against one run:"
cd "$D/parts"
SLURM_ARRAY_TASK_ID=1 SLURM_ARRAY_TASK_COUNT=1 sh "$here/trade.sh" "$project" "$D" >/dev/null
"$program" join part-*.csv -o whole.csv
cmp whole.csv "$D/part-1.csv" && echo "the same bytes"

echo "Parquet parts joined by a general data tool, and whether all are there and of one sweep:"
python3 - <<'PY'
import duckdb
print(duckdb.sql("""SELECT count(*) AS rows, max(points) AS points, count(DISTINCT point) AS different,
    count(DISTINCT sweep) AS sweeps FROM 'part-*.parquet'"""))
duckdb.sql("COPY (SELECT * FROM 'part-*.parquet' ORDER BY point) TO 'whole.parquet'")
print(duckdb.sql("SELECT count(*) AS rows_that_differ FROM (SELECT * FROM 'whole.parquet' EXCEPT SELECT * FROM '../part-1.parquet')"))
PY

echo "with the third part missing:"
rm part-3.csv
"$program" join part-*.csv -o again.csv || echo "exit code $?"
