@echo off
rem Opens tuckmark's desk in the browser, for who starts it by a double click. The desk keeps its jobs in the folder that this file lies in.
setlocal
title tuckmark
pushd "%~dp0"
if errorlevel 1 goto nofolder
if not exist tuckmark.exe goto noprogram
echo tuckmark opens in your browser. Leave this window open while you work there.
echo.
tuckmark.exe desk
if not errorlevel 1 goto end
echo.
echo The desk could not be opened, or ended in trouble. What is wrong stands above.
goto wait
:nofolder
echo The folder of this file cannot be opened.
goto wait
:noprogram
echo The program tuckmark.exe does not lie beside this file: the zip has not been unpacked yet.
echo Close this window, press the right mouse button on the zip, choose "Extract All...",
echo and start this file in the folder that comes of it.
:wait
echo.
pause
:end
popd
