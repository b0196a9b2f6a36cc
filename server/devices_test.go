package server_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/server"
)

// fakeDevices are lamps that write down what is asked of them.
type fakeDevices struct {
	done []string
	fail error
}

func (d *fakeDevices) Devices() []server.DeviceInfo {
	hours := uint32(70)
	return []server.DeviceInfo{
		{
			UID: "7FF1:00000001", Label: "T1", PortAddress: "0:0:1", Start: 1, Asked: true, Hours: &hours,
			Sensors: []server.SensorInfo{{Name: "board", Kind: "temperature", Value: 41.2, Unit: "°C", Text: "41.2 °C"}},
		},
		{UID: "7FF1:00000002", Lost: true, Trouble: "no answer"},
	}
}

func (d *fakeDevices) Search(ctx context.Context) error {
	_, limited := ctx.Deadline()
	d.done = append(d.done, fmt.Sprintf("search limited=%t", limited))
	return d.fail
}

func (d *fakeDevices) Identify(_ context.Context, uid string, on bool) error {
	d.done = append(d.done, fmt.Sprintf("identify %s %t", uid, on))
	return d.fail
}

func TestDevicesOverHTTP(t *testing.T) {
	lamps := &fakeDevices{}
	s := newServer(t, newFake(), func(c *server.Config) { c.Devices = lamps })
	var body struct{ Devices []map[string]any }
	require.NoError(t, json.Unmarshal(get(s, "/api/devices").Body.Bytes(), &body))
	require.Len(t, body.Devices, 2)
	require.Equal(t, "T1", body.Devices[0]["label"])
	require.Equal(t, 70.0, body.Devices[0]["hours"])
	require.Equal(t, []any{map[string]any{"name": "board", "kind": "temperature", "value": 41.2, "unit": "°C", "text": "41.2 °C"}}, body.Devices[0]["sensors"])
	require.Equal(t, []any{}, body.Devices[1]["sensors"])
	require.Equal(t, []any{}, body.Devices[1]["personalities"])
	require.NotContains(t, body.Devices[1], "hours")
	require.Empty(t, lamps.done, "to look asks no lamp")

	require.Equal(t, http.StatusOK, post(s, "/api/devices", "").Code)
	require.Equal(t, http.StatusOK, post(s, "/api/identify", `{"uid": "7FF1:00000001"}`).Code)
	require.Equal(t, http.StatusOK, post(s, "/api/identify", `{"uid": "7FF1:00000001", "on": false}`).Code)
	require.Equal(t, []string{"search limited=true", "identify 7FF1:00000001 true", "identify 7FF1:00000001 false"}, lamps.done)
}

func TestLampsThatDoNotDoAsAsked(t *testing.T) {
	for _, c := range []struct {
		path, body string
		fail       error
		status     int
		code, says string
	}{
		{"/api/identify", `{}`, nil, 400, "missing-field", "uid"},
		{"/api/identify", `{"uid": 5}`, nil, 400, "bad-value", "uid"},
		{"/api/identify", `{"uid": "x", "no": true}`, nil, 400, "unknown-field", "no"},
		{"/api/identify", `{"uid": "x", "on": "yes"}`, nil, 400, "bad-value", "on"},
		{"/api/identify", `{`, nil, 400, "bad-json", ""},
		{"/api/identify", `{"uid": "7FF1:00000009"}`, fmt.Errorf("rdm: %w", server.ErrNoDevice), 404, "no-such-device", "7FF1:00000009"},
		{"/api/identify", `{"uid": "7FF1:00000001"}`, errors.New("rdm: refuses: write protect"), 502, "device-failed", "write protect"},
		{"/api/devices", `{"x": 1}`, nil, 400, "unknown-field", "x"},
		{"/api/devices", ``, context.DeadlineExceeded, 504, "device-failed", "too long"},
	} {
		lamps := &fakeDevices{fail: c.fail}
		s := newServer(t, newFake(), func(cfg *server.Config) { cfg.Devices = lamps })
		w := post(s, c.path, c.body)
		require.Equal(t, c.status, w.Code, "%s %s: %s", c.path, c.body, w.Body)
		code, message, _, mend := problemOf(t, w)
		require.Equal(t, c.code, code)
		require.Contains(t, message, c.says)
		require.NotEmpty(t, mend)
		if c.fail == nil {
			require.Empty(t, lamps.done)
		}
	}
	s := newServer(t, newFake())
	require.JSONEq(t, `{"devices": []}`, get(s, "/api/devices").Body.String())
	code, _, _, _ := problemOf(t, post(s, "/api/identify", `{"uid": "x"}`))
	require.Equal(t, "no-devices", code)
}
