// Package ipp speaks the Internet Printing Protocol (RFC 8010, RFC 8011), as much of it as it takes to ask CUPS what its queues
// can do, to give them jobs and to follow these.
//
//	value.go    attributes and their values
//	message.go  messages as bytes, and bytes as messages
//	client.go   messages to CUPS on this computer, and its answers
//
// It talks to the local CUPS only: the socket, or a loopback address. Nothing here sends anything past this computer; what a
// queue then does with a job is the queue's.
package ipp
