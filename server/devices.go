package server

import (
	"context"
	"errors"
	"net/http"
	"time"
)

// Devices are the lamps that can be asked over the network (RDM, ANSI E1.20).
// Every method may be called from any goroutine.
type Devices interface {
	// Devices lists those known; it asks nobody.
	Devices() []DeviceInfo
	// Search asks the network who is there and every device what it is, which
	// takes seconds. It ends with ctx.
	Search(ctx context.Context) error
	// Identify has a device show itself, or stop; it stops by itself after a
	// while. An unknown device gives ErrNoDevice.
	Identify(ctx context.Context, uid string, on bool) error
}

// ErrNoDevice is a device that nobody has found.
var ErrNoDevice = errors.New("no such device")

// DeviceInfo is one device as programs see it. What its maker gives no number
// for is absent.
type DeviceInfo struct {
	UID           string       `json:"uid"`
	Label         string       `json:"label"`
	Model         string       `json:"model"`
	Maker         string       `json:"maker"`
	Software      string       `json:"software"`
	Node          string       `json:"node"`
	PortAddress   string       `json:"port_address"`
	Start         int          `json:"start"` // first slot; 0 for none
	Footprint     int          `json:"footprint"`
	Personality   int          `json:"personality"`
	Personalities []string     `json:"personalities"`
	Identify      bool         `json:"identify"`
	Sensors       []SensorInfo `json:"sensors"`
	Hours         *uint32      `json:"hours,omitempty"`
	LampHours     *uint32      `json:"lamp_hours,omitempty"`
	LastSeenMS    int64        `json:"last_seen_ms"`
	Lost          bool         `json:"lost"`
	Asked         bool         `json:"asked"` // it has told what it is
	Trouble       string       `json:"trouble,omitempty"`
}

// SensorInfo is what a device measures of itself.
type SensorInfo struct {
	Name  string  `json:"name"`
	Kind  string  `json:"kind"` // "temperature", "voltage"
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	Text  string  `json:"text"` // "41.2 °C"
}

// searchWait is how long a search may take; answers end after answerWait.
const searchWait = answerWait - 5*time.Second

// deviceList answers with the devices known.
func (s *Server) deviceList(w http.ResponseWriter) {
	list := []DeviceInfo{}
	if s.cfg.Devices != nil {
		list = append(list, s.cfg.Devices.Devices()...)
	}
	for i := range list {
		if list[i].Sensors == nil {
			list[i].Sensors = []SensorInfo{}
		}
		if list[i].Personalities == nil {
			list[i].Personalities = []string{}
		}
	}
	writeJSON(w, http.StatusOK, struct {
		Devices []DeviceInfo `json:"devices"`
	}{list})
}

// getDevices is GET /api/devices: what is known, without asking a lamp.
func (s *Server) getDevices(w http.ResponseWriter, _ *http.Request) { s.deviceList(w) }

// postDevices is POST /api/devices: ask the network, then what is known.
func (s *Server) postDevices(w http.ResponseWriter, r *http.Request) {
	f, err := s.deviceFields(w, r)
	if err == nil && f.problem() != nil {
		err = f.problem()
	}
	if err == nil {
		ctx, cancel := context.WithTimeout(r.Context(), searchWait)
		defer cancel()
		err = s.cfg.Devices.Search(ctx)
	}
	if err != nil {
		s.refuse(w, r, deviceProblem(err, ""))
		return
	}
	s.deviceList(w)
}

// postIdentify is POST /api/identify {"uid": "7FF1:0000002A", "on": true}.
func (s *Server) postIdentify(w http.ResponseWriter, r *http.Request) {
	f, err := s.deviceFields(w, r)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	uid, on := f.needText("uid", "7FF1:0000002A"), f.flag("on")
	if p := f.problem(); p != nil {
		s.refuse(w, r, p)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), searchWait)
	defer cancel()
	if err := s.cfg.Devices.Identify(ctx, uid, on == nil || *on); err != nil {
		s.refuse(w, r, deviceProblem(err, uid))
		return
	}
	writeJSON(w, http.StatusOK, done{OK: true})
}

// deviceFields reads the body of a request to lamps. Its error is a *Problem.
func (s *Server) deviceFields(w http.ResponseWriter, r *http.Request) (*fields, error) {
	body, p := readBody(w, r, "application/json")
	if p != nil {
		return nil, p
	}
	if s.cfg.Devices == nil {
		return nil, noDevices(r.URL.Path)
	}
	if len(body) == 0 {
		body = []byte("{}")
	}
	f, p := parseFields(body)
	if p != nil {
		return nil, p
	}
	return f, nil
}

// deviceProblem is what the outside sees of a lamp that did not do as asked: all
// of it, since it is about the lamp.
func deviceProblem(err error, uid string) error {
	var p *Problem
	switch {
	case errors.As(err, &p):
		return p
	case errors.Is(err, ErrNoDevice):
		return &Problem{http.StatusNotFound, codeNoDevice, "no device " + uid + " has been found", "uid", "search first: POST /api/devices"}
	case errors.Is(err, context.DeadlineExceeded):
		return &Problem{http.StatusGatewayTimeout, codeDeviceFailed, "the lamps took too long to answer", uid, "try again"}
	}
	return &Problem{http.StatusBadGateway, codeDeviceFailed, err.Error(), uid, "check the lamp's power and data cable, and try again"}
}
