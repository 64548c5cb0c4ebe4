#!/usr/bin/env bats
# A study through a real Slurm of one machine, where it is installed: the rows of one machine's run.

bats_require_minimum_version 1.5.0

setup() {
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    script=$root/tools/cluster/slurm-study
    here=$BATS_TEST_TMPDIR/here
    mkdir "$here" && cd "$here" || return 1
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 3000' 'speed: {place_m: [0], limit_km_h: [40]}' >flat.yaml
    printf '%s\n' 'name: Two hundred' 'invented: true' "truck: {use: $root/tests/trucks/ideal.yaml}" 'cycle: {use: flat.yaml}' \
        'driving: {driver: exact}' 'plan: latin_hypercube' 'samples: 200' 'variables:' \
        '  drag: {keys: [body.drag_area_m2], from: 3, to: 7}' '  mass: {keys: [body.mass_kg], from: 4000, to: 9000}' >study.yaml
}

teardown() {
    for name in slurmd slurmctld munged; do
        [ -f "$here/run/$name.pid" ] && kill "$(cat "$here/run/$name.pid")" 2>/dev/null
    done
    return 0
}

# Each by itself, with files and ports of its own.
start_slurm() {
    local port=$((20000 + RANDOM % 20000)) host
    host=$(hostname -s)
    mkdir -p run/state run/spool && chmod 755 "$BATS_TEST_TMPDIR" "$here" run
    dd if=/dev/urandom of=run/munge.key bs=128 count=1 status=none
    chmod 600 run/munge.key
    munged --force --key-file="$here/run/munge.key" --socket="$here/run/munge.socket" --pid-file="$here/run/munged.pid" \
        --log-file="$here/run/munged.log" --seed-file="$here/run/munge.seed" 2>run/munged.err || return 1
    export SLURM_CONF=$here/run/slurm.conf
    printf '%s\n' ClusterName=trial "SlurmctldHost=$host(127.0.0.1)" SlurmUser=root SlurmdUser=root AuthType=auth/munge \
        "AuthInfo=socket=$here/run/munge.socket" CryptoType=crypto/munge "StateSaveLocation=$here/run/state" \
        "SlurmdSpoolDir=$here/run/spool" "SlurmctldPidFile=$here/run/slurmctld.pid" "SlurmdPidFile=$here/run/slurmd.pid" \
        "SlurmctldLogFile=$here/run/slurmctld.log" "SlurmdLogFile=$here/run/slurmd.log" ProctrackType=proctrack/linuxproc \
        TaskPlugin=task/none SelectType=select/cons_tres SelectTypeParameters=CR_CPU ReturnToService=2 MpiDefault=none \
        SchedulerParameters=sched_interval=1 "SlurmctldPort=$port" "SlurmdPort=$((port + 1))" \
        "NodeName=$host NodeAddr=127.0.0.1 CPUs=2" "PartitionName=all Nodes=$host Default=YES State=UP" >run/slurm.conf
    slurmctld -f "$SLURM_CONF" && slurmd -f "$SLURM_CONF" -N "$host" || return 1
    for ((wait = 0; wait < 60; wait++)); do
        sinfo -h -o %t 2>/dev/null | grep -qx idle && return 0
        sleep 0.5
    done
    cat run/*.log
    return 1
}

# Until no job is left, or a minute and a half.
wait_for_jobs() {
    for ((wait = 0; wait < 180; wait++)); do
        [ -z "$(squeue -h)" ] && return 0
        sleep 0.5
    done
    squeue
    return 1
}

rows() {
    sqlite3 "$1" 'SELECT * FROM variants ORDER BY id'
}

@test "the script explains itself, and says what is missing" {
    run -0 "$script" --help
    [[ $output == *"usage: tools/cluster/slurm-study STUDY FOLDER PARTS"* ]]
    run -2 "$script" study.yaml parts
    [[ $output == *"STUDY, FOLDER and PARTS are wanted"* ]]
    run -2 "$script" study.yaml parts none
    [[ $output == *"PARTS is 'none'"* ]]
}

@test "two hundred variants through a Slurm of one machine have the rows of one run; a part that was lost is driven again" {
    { command -v slurmctld && command -v slurmd && command -v munged && [ "$(id -u)" -eq 0 ]; } >/dev/null ||
        skip "no Slurm here, or not its user"
    start_slurm
    "$EVENER" vary study.yaml --store one.sqlite >/dev/null 2>&1
    "$script" study.yaml "$here/parts" 4
    wait_for_jobs
    cat parts/merge.txt
    [ "$(rows parts/study.sqlite | wc -l)" -eq 200 ]
    [ "$(rows parts/study.sqlite)" = "$(rows one.sqlite)" ]
    rm parts/part-3.sqlite parts/study.sqlite
    sqlite3 parts/part-2.sqlite 'DELETE FROM variants WHERE id % 3 = 0'
    "$script" study.yaml "$here/parts" 4
    wait_for_jobs
    [ "$(rows parts/study.sqlite)" = "$(rows one.sqlite)" ]
}
