//go:build unix

package journal_test

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/journal"
	"linkboy/cues/take"
)

// childJournal names the journal that a child of the tests fills until it is killed.
const childJournal = "LINKBOY_TEST_JOURNAL"

func TestMain(m *testing.M) {
	if path := os.Getenv(childJournal); path != "" {
		shootForEver(path)
		return
	}
	os.Exit(m.Run())
}

// shootForEver shoots take after take, and says of each when the disk has it.
func shootForEver(path string) {
	ctx := context.Background()
	j := journal.New(path, nil)
	go func() { _ = j.Run(ctx) }()
	if err := j.Wait(ctx); err != nil {
		fmt.Println("fail", err)
		return
	}
	for {
		t, ack := j.Roll(slated("12", "A"), func() take.Event { return event(1, take.Roll, "warden") })
		if err := ack.Wait(ctx); err != nil {
			fmt.Println("fail", err)
			return
		}
		fmt.Println("rolled", t.ID)
		for n := range 3 {
			j.Event(t.ID, func() take.Event { return event(n+2, take.Cue, "tide") })
		}
		t.Cut = t.Rolled.Add(time.Minute)
		if err := j.Cut(t, func() take.Event { return event(5, take.End, "tide") }).Wait(ctx); err != nil {
			fmt.Println("fail", err)
			return
		}
		fmt.Println("cut", t.ID)
	}
}

// killings is how often the child is killed; each goes on with the same journal.
const killings = 15

// A take that was acknowledged is there after kill -9 at any moment, with every event
// if it was cut. (A loss of power is more than this can try: there it is for
// synchronous=FULL and an honest disk.)
func TestTakesSurviveKill9(t *testing.T) {
	path := filepath.Join(t.TempDir(), journal.Name)
	random := rand.New(rand.NewPCG(12, 9))
	rolled, cut := map[int64]bool{}, map[int64]bool{}
	for range killings {
		child := exec.Command(os.Args[0])
		child.Env = append(os.Environ(), childJournal+"="+path)
		out, err := child.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, child.Start())
		lines := bufio.NewScanner(out)
		for range random.IntN(60) { // somewhere in the middle of the takes
			if !lines.Scan() {
				break
			}
			note(t, lines.Text(), rolled, cut)
		}
		time.Sleep(time.Duration(random.IntN(5000)) * time.Microsecond)
		require.NoError(t, child.Process.Kill()) // SIGKILL
		for lines.Scan() {                       // what was acknowledged and not read yet
			note(t, lines.Text(), rolled, cut)
		}
		_ = child.Wait()
	}
	require.Greater(t, len(cut), 50, "too few takes to mean anything")

	j, _ := running(t, path)
	require.NoError(t, j.Wait(context.Background()))
	require.Empty(t, j.Status().Aside, "the journal is sound")
	for id := range rolled {
		got, err := j.Get(context.Background(), id)
		require.NoError(t, err, "take %d was acknowledged", id)
		require.NotEmpty(t, got.Events)
		if cut[id] {
			require.Len(t, got.Events, 5)
			require.False(t, got.Broken)
		}
	}
}

func note(t *testing.T, line string, rolled, cut map[int64]bool) {
	var word string
	var id int64
	_, err := fmt.Sscan(line, &word, &id)
	require.NoError(t, err, line)
	switch word {
	case "rolled":
		require.False(t, rolled[id], "take %d came twice", id)
		rolled[id] = true
	case "cut":
		cut[id] = true
	default:
		require.Fail(t, line)
	}
}
