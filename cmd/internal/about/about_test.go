package about

import (
	"errors"
	"runtime"
	"runtime/debug"
	"testing"

	"github.com/spf13/cobra"
)

func TestVersion(t *testing.T) {
	system := runtime.GOOS + "/" + runtime.GOARCH
	for _, c := range []struct {
		info    *debug.BuildInfo
		release string
		want    string
	}{
		{nil, "", "of an unknown build (" + system + ")"},
		{&debug.BuildInfo{GoVersion: "go1.26.8"}, "", "from a folder of sources (go1.26.8, " + system + ")"},
		{&debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Version: "(devel)"}}, "", "from a folder of sources (go1.26.8, " + system + ")"},
		{&debug.BuildInfo{GoVersion: "go1.27", Main: debug.Module{Version: "v1.2.0+dirty"}}, "", "v1.2.0+dirty (go1.27, " + system + ")"},
		{&debug.BuildInfo{GoVersion: "go1.27", Main: debug.Module{Version: "(devel)"}}, "v1.3", "v1.3 (go1.27, " + system + ")"},
	} {
		if got := version(c.info, c.release); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if Version() == "" {
		t.Error("this build has no version")
	}
}

// TestComplaints: what the library says of a call comes out in our words.
func TestComplaints(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"bake", "--glitter"}, "bake has no option --glitter"},
		{[]string{"bake", "-g"}, "bake has no option -g"},
		{[]string{"bake", "--output"}, "--output needs something after it"},
		{[]string{"bake", "-o"}, "-o needs something after it"},
		{[]string{"bake", "--hot=maybe"}, "--hot stands by itself, without “maybe”"},
		{[]string{"bake", "--output", ""}, "--output has nothing after it between its quotation marks; write what is meant, or leave it out"},
		{[]string{"bake", "-o", " "}, "--output has nothing after it between its quotation marks; write what is meant, or leave it out"},
		{[]string{"bake", "-o="}, "--output has nothing after it between its quotation marks; write what is meant, or leave it out"},
		{[]string{"bake", "-o", "a", "--output", "a"}, "--output is given twice, and only one of them can count; give it once"},
		{[]string{"bake", "--with", "a", "--with", "b", "--hot", "--hot", "-n", "2"}, "baked"},
		{[]string{"bake", "--with", "a", "--with="}, "--with has nothing after it between its quotation marks; write what is meant, or leave it out"},
		{[]string{"bake", "-n", "2", "-n", "2"}, "--number is given twice, and only one of them can count; give it once"},
		{[]string{"bake", ""}, "there is nothing between a pair of quotation marks; write what is meant, or leave them out"},
		{[]string{"bake", "cake"}, "bake takes options only, not “cake”"},
		{[]string{"bak"}, "there is no command “bak”; did you mean bake?"},
		{[]string{"wash"}, "there is no command “wash”"},
		{[]string{"help", "bak"}, "there is no command “bak”; did you mean bake?"},
		{[]string{"help", "bake", "cake"}, "there is no command “bake cake”"},
		{[]string{"help", "bake"}, ""},
		{[]string{"help"}, ""},
		{[]string{"--version"}, ""},
		{[]string{"bake"}, "baked"},
	} {
		run := func(*cobra.Command, []string) error { return errors.New("baked") }
		root := &cobra.Command{Use: "oven", Version: "1", Args: NoArguments, RunE: run, SilenceErrors: true, SilenceUsage: true}
		bake := &cobra.Command{Use: "bake", Short: "Bake", Args: NoArguments, RunE: run}
		bake.Flags().StringP("output", "o", "", "")
		bake.Flags().Bool("hot", false, "")
		bake.Flags().StringArray("with", nil, "")
		bake.Flags().IntP("number", "n", 0, "")
		root.AddCommand(bake)
		Words(root)
		root.SetArgs(c.args)
		root.SetOut(new(discard))
		got := ""
		if err := root.Execute(); err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%q: %q, want %q", c.args, got, c.want)
		}
	}
}

type discard struct{}

func (*discard) Write(b []byte) (int, error) { return len(b), nil }
