# What the editors' tests share: sourced, after `name` is set to the editor's.

# skip WHAT: ends a test that cannot run here; 77 is the code by which test.sh knows it.
skip() {
  echo "$name: skipped: $1 is not installed and cannot be installed here"
  exit 77
}

# debian PACKAGE...: installs what is missing, and waits as long as somebody else is installing. Says why when it fails.
debian() {
  command -v apt-get >/dev/null || { echo "$name: there is no apt-get to install $* by" >&2; return 1; }
  local said tries
  for tries in $(seq 60); do
    if said=$({ apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=600 install -y -qq --no-install-recommends "$@"; } 2>&1 >/dev/null); then
      return 0
    fi
    case $said in
      *"Could not get lock"* | *"Unable to lock"* | *"Unable to acquire"*) [ "$tries" != 1 ] || echo "$name: waiting for another installation to end" >&2; sleep 10 ;;
      *) break ;;
    esac
  done
  printf '%s: apt-get cannot install %s:\n%s\n' "$name" "$*" "$said" >&2
  return 1
}
