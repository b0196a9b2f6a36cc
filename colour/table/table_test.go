package table_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/table"
)

func TestReadText(t *testing.T) {
	text, err := table.ReadText(strings.NewReader("\ufeffnm,power\n"))
	require.NoError(t, err)
	require.Equal(t, "nm,power\n", text)

	_, err = table.ReadText(strings.NewReader(strings.Repeat("#", table.MostBytes+1)))
	require.ErrorIs(t, err, table.ErrTooLarge)

	broken := errors.New("the card was pulled out")
	_, err = table.ReadText(iotest.ErrReader(broken))
	require.ErrorIs(t, err, broken)
}

func TestLinesKeepTheirNumbers(t *testing.T) {
	var got []string
	for number, line := range table.Lines("# read at 1 m\r\n\r\nnm,power\r\n  # indented\n400,1\n \n410,2") {
		got = append(got, fmt.Sprint(number, " ", line))
	}
	require.Equal(t, []string{"3 nm,power", "5 400,1", "7 410,2"}, got)
}

func TestSplitTellsThePlaceInCharacters(t *testing.T) {
	for _, c := range []struct {
		name, line, separator string
		want                  []table.Field
	}{
		{"commas", "400, 0.5", ",", []table.Field{{"400", 3, 1}, {"0.5", 3, 6}}},
		{"an empty field", "400,,1", ",", []table.Field{{"400", 3, 1}, {"", 3, 5}, {"1", 3, 6}}},
		{"quotes", `"400 ";"0,5"`, ";", []table.Field{{"400", 3, 1}, {"0,5", 3, 8}}},
		{"letters of two bytes", "Wellenlänge;Stärke", ";", []table.Field{{"Wellenlänge", 3, 1}, {"Stärke", 3, 13}}},
		{"blanks side by side", " 400   0.5 ", " ", []table.Field{{"400", 3, 2}, {"0.5", 3, 8}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, c.want, table.Split(c.line, c.separator, 3))
		})
	}
}

func TestNumberIsPlain(t *testing.T) {
	for _, good := range []string{"0", "-1.5", "+2", "1e-3", ".5"} {
		_, ok := table.Number(good)
		require.True(t, ok, good)
	}
	for _, bad := range []string{"", "inf", "NaN", "0x1p-2", "1_000", "1,5", "five", "1e999"} {
		_, ok := table.Number(bad)
		require.False(t, ok, bad)
	}
}

func TestProblemsEndSomewhere(t *testing.T) {
	var ps table.Problems
	for range 100 {
		ps.Add("cam.csv", table.Field{}, "the file", "it holds nothing", "fill it")
	}
	require.Len(t, ps, table.MostProblems)
	require.True(t, ps.Full())
	require.Equal(t, "cam.csv:1:1: the file: it holds nothing; fill it", ps[0].Error())
	require.Equal(t, table.MostProblems-1, strings.Count(ps.Error(), "\n"))
}
