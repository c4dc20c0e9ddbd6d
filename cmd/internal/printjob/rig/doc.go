// Package rig starts CUPS and a home printer that exists in software only (ippeveprinter), for tests: a CUPS of its own with its
// own folder, beside that of the machine. All listen on the loopback interface or on sockets, and are stopped by their process ids.
//
// What the printer was asked for and what it received lies in a folder. A file "hold" in the folder of the rig stops the printer in
// the middle of a job, for the reason that is written in it, until the file is gone. Lines in a file "ends" say how the
// program that carries jobs to the printer ends, see Rig.Ends.
package rig
