# Shell helpers shared by the commands in tools/. Source this file; it defines functions and sets `root`.
# shellcheck shell=bash

# The folder of the checkout, whatever the working folder; who sources this has followed the symlinks that it was called through.
root=$(CDPATH='' cd -- "${BASH_SOURCE[0]%/*}/../.." && pwd -P)

say() { printf '%s\n' "$*" >&2; }

have_font() {
    local folder
    for folder in /usr/share/fonts /usr/local/share/fonts "$HOME/.fonts" "$HOME/.local/share/fonts" /Library/Fonts; do
        [ -d "$folder" ] && [ -n "$(find "$folder" -name 'DejaVuSans.ttf' -print -quit 2>/dev/null)" ] && return 0
    done
    return 1
}

# Fills the array `missing` with the packages that are not there.
look_for_missing() {
    missing=()
    if ! command -v ffmpeg >/dev/null 2>&1 || ! command -v ffprobe >/dev/null 2>&1; then missing+=(ffmpeg); fi
    have_font || missing+=(fonts-dejavu-core)
}

as_root() {
    if [ "$(id -u)" -eq 0 ]; then
        "$@"
    elif [ -t 0 ]; then
        sudo "$@"
    else
        # Nobody is there to type a password.
        sudo -n "$@"
    fi
}

install_missing() {
    command -v apt-get >/dev/null 2>&1 || return 1
    [ "$(id -u)" -eq 0 ] || command -v sudo >/dev/null 2>&1 || return 1
    local apt=(env DEBIAN_FRONTEND=noninteractive apt-get -qq)
    # The package lists of a fresh machine are often empty or old: refresh them only when the first try fails.
    as_root "${apt[@]}" install -y --no-install-recommends "${missing[@]}" >&2 2>/dev/null && return 0
    as_root "${apt[@]}" update >&2 || true
    as_root "${apt[@]}" install -y --no-install-recommends "${missing[@]}" >&2
}

need_dotnet() {
    if ! command -v dotnet >/dev/null 2>&1; then
        say "The .NET 10 SDK is missing: install it from https://dotnet.microsoft.com/download and run this again."
        exit 4
    fi
    if ! (cd "$root" && dotnet --version) >/dev/null 2>&1; then
        say "No .NET 10 SDK was found beside the installed .NET: install it from https://dotnet.microsoft.com/download and run this again."
        exit 4
    fi
}

# Everything a fresh machine needs beyond the .NET SDK. Exits with 4 and one sentence where it may not install.
set_up() {
    need_dotnet
    local missing
    look_for_missing
    if [ ${#missing[@]} -gt 0 ]; then
        say "Installing ${missing[*]} …"
        install_missing || true
        look_for_missing
    fi
    if [ ${#missing[@]} -gt 0 ]; then
        say "Still needed: ${missing[*]}; install with your package manager (Debian or Ubuntu: sudo apt-get install ${missing[*]}) and run this again."
        exit 4
    fi
}

export DOTNET_CLI_TELEMETRY_OPTOUT=1 DOTNET_NOLOGO=1 DOTNET_SKIP_FIRST_TIME_EXPERIENCE=1
# Build servers that outlive the command help nobody here.
export MSBUILDDISABLENODEREUSE=1
