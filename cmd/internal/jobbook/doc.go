// Package jobbook is the one workbook that a job lives in while people work on it at a desk: NAME-desk.xlsx, in the form's shape.
//
//   - row.go has what a book holds, and what can be done to it; apply.go does it, and undoes it;
//   - book.go opens and closes a book, and history.go goes back and forth among its states;
//   - import.go takes rows in, from files and from what was pasted.
package jobbook
