# SPDX-License-Identifier: MIT
# What cli/demo and tests/run share; to be sourced with `set -euo pipefail` in the project's folder.
# shellcheck shell=bash

say() { printf '%s\n' "$*" >&2; }

# quietly LOG TASK COMMAND…: runs the command; shows what it said only when it fails.
quietly() {
  local log=$1 task=$2 status=0
  shift 2
  "$@" >"$log" 2>&1 </dev/null || status=$?
  ((status == 0)) && return
  tail -n 60 "$log" >&2
  say "$task failed (exit status $status); all it said is in $log"
  return "$status"
}

# missing LIST…: those packages of the lists that are not installed.
missing() {
  dpkg-query -W -f='${db:Status-Status} ${Package}\n' | sed -n 's/^installed //p' |
    sort -u | comm -13 - <(sort -u "$@")
}

# install_missing LIST…: installs what the lists name and the system has not.
install_missing() {
  if ! command -v dpkg-query >/dev/null; then
    say "This is no Debian; install what corresponds to: $(sort -u "$@" | xargs)"
    return
  fi
  local -a packages as_root=()
  mapfile -t packages < <(missing "$@")
  ((${#packages[@]})) || return 0
  if ((EUID != 0)); then
    if ! command -v sudo >/dev/null; then
      say "These packages are missing, and only root can install them:"
      say "  apt-get install --no-install-recommends ${packages[*]}"
      return 1
    fi
    say "Installing packages needs root: sudo may ask for your password."
    as_root=(sudo)
    sudo -v
  fi
  as_root+=(env DEBIAN_FRONTEND=noninteractive apt-get -o Acquire::Retries=3)
  say "Installing ${#packages[@]} packages and what they need: ${packages[*]}"
  quietly build/packages.log "apt-get update" "${as_root[@]}" update
  quietly build/packages.log "Installing" "${as_root[@]}" install -y --no-install-recommends "${packages[@]}"
}
