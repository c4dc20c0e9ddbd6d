#!/bin/sh
# Opens tuckmark's desk in the browser, for who starts it by a double click. The desk keeps its jobs in the folder that this file lies in.

# say shows words to somebody who may have no terminal before them.
say() {
  if [ -t 1 ]; then
    printf '\n%s\n' "$1"
  elif command -v zenity >/dev/null 2>&1; then
    zenity --no-markup --error --title=tuckmark --width=600 --text="$1"
  elif command -v kdialog >/dev/null 2>&1; then
    kdialog --title tuckmark --error "$1"
  elif command -v xmessage >/dev/null 2>&1; then
    xmessage "$1"
  else
    file=${TMPDIR:-/tmp}/tuckmark-says-$$.txt
    printf '%s\n' "$1" >"$file" && xdg-open "$file"
  fi
}

# stop says why there is no desk, and keeps a terminal open until that was read.
stop() {
  say "$1"
  if [ -t 0 ] && [ -t 1 ]; then
    printf '\nPress the Enter key to close this window. '
    read -r _
  fi
  exit 1
}

unset CDPATH
cd -- "$(dirname -- "$0")" || stop "The folder of this file cannot be opened."
[ -f tuckmark ] || stop "The program tuckmark does not lie beside this file. Unpack the whole zip, and start the file in the folder that comes of it."
[ -x tuckmark ] || chmod +x tuckmark || stop "The program tuckmark may not be executed, and that cannot be changed here. Move the folder to a place of your own, such as Documents, and start again."

if [ -t 1 ]; then
  echo "tuckmark opens in your browser. Leave this window open while you work there."
  ./tuckmark desk
  status=$?
  words="What is wrong stands above."
else
  command -v xdg-open >/dev/null 2>&1 || stop "Nothing on this computer opens a browser for other programs (xdg-open, of the package xdg-utils, is not there). Open a terminal in the folder $PWD, and type: ./tuckmark desk --no-browser
It says an address to open in your browser."
  words=$(./tuckmark desk 2>&1)
  status=$?
fi

case $status in
0 | 129 | 130 | 143) ;; # it was ended: by Quit, by Ctrl-C, or with its window
126) stop "The system does not let the program tuckmark start: either this download is for another kind of processor, or the system has to be asked first (see the page First steps).
$words" ;;
137) stop "The system has ended the program tuckmark. A Mac does that with programs that it has not been told to trust (see the page First steps)." ;;
*) stop "The desk could not be opened, or ended in trouble. $words" ;;
esac
