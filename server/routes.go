package server

import (
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
)

// route is one path and what it answers to each method. GET answers HEAD too.
type route struct {
	path string
	does map[string]http.HandlerFunc
}

// routes is everything that the daemon answers to.
func (s *Server) routes() []route {
	get := func(h http.HandlerFunc) map[string]http.HandlerFunc {
		return map[string]http.HandlerFunc{http.MethodGet: h}
	}
	routes := []route{
		{"/healthz", get(s.getHealth)},
		{"/metrics", get(s.metrics.handler.ServeHTTP)},
		{"/ws", get(s.live)},
		{pairPath, map[string]http.HandlerFunc{http.MethodGet: s.getPair, http.MethodPost: s.postPair}},
		{pairingPath, get(s.getPairing)},
		{"/api/state", get(s.getState)},
		{"/api/plan", get(s.getPlan)},
		{"/api/looks/{name}/cells", get(s.getLookCells)},
		{"/api/looks/{name}/seen", get(s.getLookSeen)},
		{"/api/looks/{name}/paint", get(s.getLookPaint)},
		{"/api/looks/{name}/against/{other}", get(s.getLookAgainst)},
		{"/api/reach", get(s.getReach)},
		{"/api/script", get(s.getScript)},
		{"/api/timeline", get(s.getTimeline)},
		{"/api/cues/{number}/cells", get(s.getCueCells)},
		{"/api/cues/{number}/seen", get(s.getCueSeen)},
		{"/api/scene", get(s.getScene)},
		{"/api/light", get(s.getLight)},
		{"/api/haze", get(s.getHaze)},
		{"/api/looks/{name}/still", get(s.getStill)},
		{"/api/frames", get(s.getFrames)},
		{"/api/edits", get(s.getEdits)},
		{"/api/try", map[string]http.HandlerFunc{http.MethodPost: s.postTry}},
		{"/api/takes", get(s.getTakes)},
		{"/api/takes/{id}", get(s.getTake)},
		{"/api/takes/{id}/differs", get(s.getTakeDiffers)},
		{"/api/takes/{id}/photos", map[string]http.HandlerFunc{http.MethodGet: s.getPhotos, http.MethodPost: s.postPhoto}},
		{"/api/takes/{id}/photos/{n}", get(s.getPhoto)},
		{"/api/meter", get(s.getMeter)},
		{"/api/devices", map[string]http.HandlerFunc{http.MethodGet: s.getDevices, http.MethodPost: s.postDevices}},
		{"/api/rigcheck", map[string]http.HandlerFunc{http.MethodGet: s.getRigCheck, http.MethodPost: s.postRigCheck}},
		{"/api/identify", map[string]http.HandlerFunc{http.MethodPost: s.postIdentify}},
	}
	for _, v := range editVerbs {
		routes = append(routes, route{"/api/" + v.name, map[string]http.HandlerFunc{http.MethodPost: s.postEdit(v)}})
	}
	for _, v := range verbs {
		routes = append(routes, route{"/api/" + v.name, map[string]http.HandlerFunc{http.MethodPost: s.postVerb(v)}})
	}
	return routes
}

// handler wires the routes, the page under everything else, and what stands
// before them all.
func (s *Server) handler() http.Handler {
	mux := http.NewServeMux()
	var api []string
	for _, rt := range s.routes() {
		mux.Handle(rt.path, s.metrics.timed(rt.path, s.forRole(rt, s.byMethod(rt.does))))
		if strings.HasPrefix(rt.path, "/api/") {
			api = append(api, rt.path)
		}
	}
	mux.Handle("/api/", s.metrics.timed("/api/", http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.refuse(w, r, noSuchPath(r.URL.Path, api))
	})))
	mux.Handle("/", s.metrics.timed("/", http.HandlerFunc(s.servePage)))
	return s.guard(mux)
}

// byMethod picks what a path does by the method of the request.
func (s *Server) byMethod(does map[string]http.HandlerFunc) http.Handler {
	allowed := slices.Sorted(maps.Keys(does))
	if does[http.MethodGet] != nil {
		allowed = append(allowed, http.MethodHead)
	}
	allow := strings.Join(allowed, ", ")
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		method := r.Method
		if method == http.MethodHead {
			method = http.MethodGet
		}
		if h := does[method]; h != nil {
			h(w, r)
			return
		}
		s.refuse(w, r, wrongMethod(w, r, allow))
	})
}

func noSuchPath(path string, known []string) *Problem {
	return &Problem{
		http.StatusNotFound, codeNoSuchPath, fmt.Sprintf("there is nothing at %q%s", path, hint(path, known)), path,
		"the page is at /, what runs now at /api/state",
	}
}

func wrongMethod(w http.ResponseWriter, r *http.Request, allow string) *Problem {
	w.Header().Set("Allow", allow)
	return &Problem{
		http.StatusMethodNotAllowed, codeMethod, fmt.Sprintf("%s does not answer %s", r.URL.Path, r.Method), r.URL.Path,
		"use " + strings.ReplaceAll(allow, ", ", " or "),
	}
}
