package printjob

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"strings"

	"tuckmark/config/problem"
)

// Terminal is a front of lines: a question is answered by a letter, or Enter for what is usual; where the input ends, or the context, the
// session does. With nobody there nothing is asked.
func Terminal(in io.Reader, out io.Writer, nobody bool) Front {
	tell := func(e Event) {
		for _, line := range e.Words() {
			fmt.Fprintln(out, problem.Line(line)) // a name with a line break in it makes no line of its own
		}
	}
	if nobody {
		return Front{Tell: tell}
	}
	type typed struct {
		line string
		err  error
	}
	lines := make(chan typed)
	reader := bufio.NewReader(in)
	asked := make(chan struct{})
	go func() { // a line is waited for beside the context; one is read only when it is asked for
		for range asked {
			line, err := reader.ReadString('\n')
			if line != "" {
				err = nil
			}
			lines <- typed{line, err}
		}
	}()
	waiting := false
	return Front{
		Tell: tell,
		Ask: func(ctx context.Context, q Question) (Answer, error) {
			for {
				fmt.Fprint(out, prompt(q))
				if !waiting {
					asked <- struct{}{}
					waiting = true
				}
				var got typed
				select {
				case <-ctx.Done():
					fmt.Fprintln(out)
					return "", ctx.Err()
				case got = <-lines:
					waiting = false
				}
				if got.err != nil {
					return "", got.err
				}
				a := Answer(strings.ToLower(strings.TrimSpace(got.line)))
				if a == "" {
					a = q.Usual
				}
				if q.takes(a) {
					return a, nil
				}
			}
		},
	}
}

// prompt is a question on one line, with what can be typed.
func prompt(q Question) string {
	var keys []string
	for _, c := range q.Choices {
		key := string(c.Answer)
		if c.Answer == q.Usual {
			key = "Enter"
		}
		keys = append(keys, key+" = "+c.Words)
	}
	return q.Words + " (" + strings.Join(keys, ", ") + ") "
}
