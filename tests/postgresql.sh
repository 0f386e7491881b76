#!/usr/bin/env bash
# Run a command with a PostgreSQL server of its own:
#
#   tests/postgresql.sh .venv/bin/python -m pytest tests/books
#
# The server keeps its data in a new folder, listens on a socket in that folder alone and is gone when the command ends;
# a server the machine may already run is left alone. GYLE_TEST_POSTGRESQL tells the command where it is.
set -euo pipefail

[ $# -gt 0 ] || { sed -n '2,7s/^# \{0,1\}//p' "$0" >&2; exit 2; }

# Debian keeps the server's own programs off the PATH, one folder for each version; the newest is taken.
bin=$(dirname "$(command -v initdb || ls -d /usr/lib/postgresql/*/bin/initdb 2>/dev/null | sort -V | tail -n 1)")
[ -x "$bin/initdb" ] || { echo "No PostgreSQL server is installed; on Debian: apt-get install postgresql" >&2; exit 1; }

folder=$(mktemp -d /tmp/gyle-postgresql.XXXXXX)  # short, since the path of a socket may have 107 characters
as_owner=()
if [ "$(id -u)" -eq 0 ]; then  # the server refuses to run as root
  chown postgres "$folder"
  as_owner=(runuser -u postgres --)
fi

finish() {
  (cd "$folder" && "${as_owner[@]}" "$bin/pg_ctl" stop --silent --mode=immediate --pgdata=data) >/dev/null 2>&1 || true
  rm -rf "$folder"
}
trap finish EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

# Nothing here outlives the command, so nothing waits for the disk. Whoever may open the folder may log in.
(
  cd "$folder"
  "${as_owner[@]}" "$bin/initdb" --pgdata=data --username=gyle --auth=trust --encoding=UTF8 --locale=C.UTF-8 --no-sync \
    >initdb.log 2>&1 || { cat initdb.log >&2; exit 1; }
  "${as_owner[@]}" "$bin/pg_ctl" start --silent --wait --pgdata=data --log=server.log \
    --options="-c listen_addresses='' -c unix_socket_directories='$folder' -c fsync=off -c full_page_writes=off" \
    || { cat server.log >&2; exit 1; }
)

GYLE_TEST_POSTGRESQL="postgresql://gyle@/postgres?host=$folder" "$@"
