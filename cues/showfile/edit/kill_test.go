package edit_test

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/showfile/edit"
)

// killFolder tells the test binary that it is the process to be killed.
const killFolder = "LINKBOY_EDIT_UNTIL_KILLED"

// TestKilled kills a process that edits without end, at random moments: the show
// must open without errors each time, with every edit that was acknowledged, and
// with all of them to undo; an edit of two files is in both or in none.
func TestKilled(t *testing.T) {
	if dir := os.Getenv(killFolder); dir != "" {
		editUntilKilled(t, dir)
		return
	}
	if testing.Short() {
		t.Skip("starts and kills processes")
	}
	dir := onDisk(t)
	r := rand.New(rand.NewPCG(7, 7))
	edits := 0
	for range 20 {
		acknowledged := runAndKill(t, dir, time.Duration(1+r.IntN(400_000))*time.Microsecond)
		e, problems, err := edit.Open(dir)
		require.NoError(t, err)
		for _, p := range problems {
			require.NotEqual(t, cues.CodeHistoryLost, p.Code, "what was done can be undone: %v", p)
		}
		require.GreaterOrEqual(t, e.Revision(), acknowledged)
		require.LessOrEqual(t, e.Revision(), acknowledged+1)
		edits = int(acknowledged)
		show := e.Show()
		require.Equal(t, show.Title, show.Location("deep-end").Title, "both files or none")
		requireQuay(t, show)
		if show.Title != "start" && e.Revision() > 2 {
			_, err = e.Undo(e.Revision())
			require.NoError(t, err)
			require.Equal(t, e.Show().Title, e.Show().Location("deep-end").Title)
			requireQuay(t, e.Show())
		}
	}
	t.Logf("killed 20 times in %d edits", edits)
}

// requireQuay checks that the quay is there when the title says so.
func requireQuay(t *testing.T, show *cues.Show) {
	require.Equal(t, strings.HasSuffix(show.Title, " with quay"), show.Location("quay") != nil, "its file comes and goes with the others: %s", show.Title)
}

// runAndKill lets a process edit, kills it so long after its first edit, and
// gives the last revision that it acknowledged.
func runAndKill(t *testing.T, dir string, after time.Duration) (revision uint64) {
	cmd := exec.Command(os.Args[0], "-test.run=^TestKilled$")
	cmd.Env = append(os.Environ(), killFolder+"="+dir)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		n, err := strconv.ParseUint(lines.Text(), 10, 64)
		require.NoError(t, err, "the process failed: %s", lines.Text())
		if revision == 0 {
			time.AfterFunc(after, func() { cmd.Process.Kill() })
		}
		revision = n
	}
	require.Error(t, cmd.Wait(), "it ends by being killed")
	require.NotZero(t, revision)
	return revision
}

// editUntilKilled gives two files one title, over and over, while a third comes and goes,
// and undoes that now and then.
func editUntilKilled(t *testing.T, dir string) {
	e := open(t, dir)
	for i := 0; ; i++ {
		title := map[string]string{"title": fmt.Sprintf("title %d", e.Revision())}
		if i == 0 && e.Revision() == 1 {
			title["title"] = "start"
		}
		edits := []edit.Edit{{Do: edit.Change, What: edit.TheShow, Fields: title}, {Do: edit.Change, What: edit.TheLocation, Location: "deep-end", Fields: title}}
		switch {
		case title["title"] == "start":
		case e.Show().Location("quay") != nil:
			edits = append(edits, edit.Edit{Do: edit.Remove, What: edit.TheLocation, Location: "quay"})
		default:
			title["title"] += " with quay"
			edits = append(edits, edit.Edit{Do: edit.Add, What: edit.TheLocation, Name: "quay", Fields: map[string]string{"from": "deep-end", "addresses": "0:0:9.001"}})
		}
		r, err := e.Apply(e.Revision(), edits...)
		if err == nil && i%4 == 3 {
			fmt.Println(r.Revision)
			r, err = e.Undo(r.Revision)
		}
		if err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		fmt.Println(r.Revision)
	}
}
