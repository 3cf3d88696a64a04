#!/usr/bin/env bash
# One list over two hosts, one part killed and run again, against one run of the whole list.
#
#   tests/hosts/two_hosts.sh TREEN [ORDERS [PARTS [DPI]]]      (60 orders, 6 parts, 40 dpi)
#
# The hosts are network namespaces of this machine, each with an SSH server of its own; the files
# are shared, as they are on a cluster. GNU parallel hands out the parts and runs again what was
# killed. Needs Linux, root, iproute2, OpenSSH's server and client, GNU parallel; where one is
# missing that is said, and nothing was tested (77, as Automake counts it).
set -euo pipefail

treen=$(realpath "$1")
orders=${2:-60} parts=${3:-6} dpi=${4:-40}

missing() { echo "not tested: $1"; exit 77; }
[ "$(id -u)" = 0 ] || missing 'namespaces need root'
for tool in ip parallel ssh ssh-keygen; do
    command -v "$tool" >/dev/null || missing "no $tool"
done
sshd=$(command -v sshd || echo /usr/sbin/sshd)
[ -x "$sshd" ] || missing 'no sshd'

work=$(mktemp -d)
desk="desk-$$"
hosts=("one-$$" "two-$$")
cleanup() {
    for host in "${hosts[@]}"; do
        [ -f "$work/$host.pid" ] && kill "$(cat "$work/$host.pid")" || true
        ip netns del "$host" 2>/dev/null || true
    done
    ip netns del "$desk" 2>/dev/null || true
    rm -rf "$work"
}
trap cleanup EXIT

ip netns add "$desk" 2>/dev/null || missing 'network namespaces are not allowed here'
ip -n "$desk" link set lo up
ssh-keygen -q -t ed25519 -N '' -f "$work/key"
# OpenSSH wants its folder for the time before a login.
[ -d /run/sshd ] || mkdir -p /run/sshd
logins=()
number=0
for host in "${hosts[@]}"; do
    number=$((number + 1))
    ip netns add "$host"
    ip -n "$host" link set lo up
    ip -n "$desk" link add "to$number" type veth peer name eth netns "$host"
    ip -n "$desk" addr add "10.77.$number.1/30" dev "to$number"
    ip -n "$desk" link set "to$number" up
    ip -n "$host" addr add "10.77.$number.2/30" dev eth
    ip -n "$host" link set eth up
    ssh-keygen -q -t ed25519 -N '' -f "$work/$host.key"
    ip netns exec "$host" "$sshd" -f /dev/null -h "$work/$host.key" \
        -o ListenAddress="10.77.$number.2" -o PidFile="$work/$host.pid" -o UsePAM=no \
        -o StrictModes=no -o AuthorizedKeysFile="$work/key.pub" -o PermitRootLogin=prohibit-password
    logins+=(--sshlogin "1/root@10.77.$number.2")
done
export PARALLEL_SSH="ssh -i $work/key -o UserKnownHostsFile=$work/known -o StrictHostKeyChecking=accept-new -o LogLevel=ERROR"

mkdir "$work/desk" "$work/pids"
cd "$work/desk"
cat >coin.yaml <<'YAML'
title: Coin
parameters: {size: {default: 120 mm, min: 90 mm, max: 200 mm}}
outline: [{circle: {radius: size / 2}}]
recess: {shape: {circle: {radius: size / 2 - 12}}, keep_floor: 6 mm}
name: {along: [[-32, -8], [32, -8]], height: 16 mm}
YAML
{
    echo id,name,recipe
    for order in $(seq "$orders"); do
        [ $((order % 10)) = 0 ] && recipe=cloud || recipe=coin
        echo "h-$order,Name $((order % 300)),$recipe"
    done
} >list.csv

echo "one run of $orders orders"
start=$(date +%s.%N)
"$treen" proof list.csv --dpi "$dpi" --quiet --out whole || [ $? = 1 ]
echo "  $(echo "$(date +%s.%N) $start" | awk '{printf "%.1f", $1 - $2}') s"

echo "$parts parts on two hosts"
start=$(date +%s.%N)
# The second part is killed once it has written some sheets; its pid is that of this very run.
(
    until [ "$(ls "shared/part-2-of-$parts" 2>/dev/null | wc -l)" -ge 4 ]; do sleep 0.05; done
    kill -9 "$(cat "$work/pids/2")" && touch "$work/killed"
) &
killer=$!
part="echo \$\$ >$work/pids/{}; cd $work/desk; exec $treen proof list.csv --dpi $dpi --threads 1 --quiet --out shared --part {}/$parts"
ip netns exec "$desk" parallel --will-cite --joblog "$work/log" --retries 3 "${logins[@]}" \
    "sh -c '$part'" ::: $(seq "$parts")
wait "$killer"
echo "  $(echo "$(date +%s.%N) $start" | awk '{printf "%.1f", $1 - $2}') s"
[ -f "$work/killed" ] || { echo 'no part was killed'; exit 1; }
awk 'NR > 1 {count[$2]++} END {for (host in count) print "  " host ": " count[host] " parts"}' "$work/log"
[ "$(awk 'NR > 1 {print $2}' "$work/log" | sort -u | wc -l)" = 2 ] || { echo 'one host had nothing to do'; exit 1; }

"$treen" merge --out shared || [ $? = 1 ]
diff -r --exclude 'part-*' whole shared
echo "$(ls whole | wc -l) files: the same bytes, one part killed and run again"
