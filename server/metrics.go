package server

import (
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"linkboy/cues/session"
)

// metrics is what GET /metrics tells, in a registry of its own.
type metrics struct {
	handler  http.Handler
	verbs    *prometheus.CounterVec
	cut      *prometheus.CounterVec
	requests *prometheus.HistogramVec
}

// unknownVerb stands in the metrics for whatever somebody made up.
const unknownVerb = "unknown"

// requestBuckets reach from a state read to a verb that compiles a large rig, in seconds.
var requestBuckets = []float64{.0005, .001, .002, .005, .01, .02, .05, .1, .5, 2}

func newMetrics(s *Server) *metrics {
	registry := prometheus.NewRegistry()
	m := &metrics{
		verbs: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "linkboy_verbs_total", Help: "Verbs asked for, by how they ended: ok or the code of the refusal.",
		}, []string{"verb", "result"}),
		cut: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "linkboy_ws_cut_total", Help: "Pages cut off, by reason.",
		}, []string{"reason"}),
		requests: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "linkboy_request_seconds", Help: "Time to answer a request, by path and status.", Buckets: requestBuckets,
		}, []string{"path", "status"}),
	}
	for _, reason := range []string{cutSlow, cutBig, cutGarbage, cutSilent} {
		m.cut.WithLabelValues(reason)
	}
	registry.MustRegister(
		m.verbs, m.cut, m.requests, outputCollector{s},
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "linkboy_ws_clients", Help: "Pages connected."},
			func() float64 { return float64(s.hub.count()) }),
		collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}),
	)
	m.handler = promhttp.HandlerFor(registry, promhttp.HandlerOpts{DisableCompression: true})
	return m
}

// verbDone counts a verb by its end.
func (m *metrics) verbDone(verb string, err error) {
	result := "ok"
	if err != nil {
		p, _ := asProblem(err)
		result = p.Code
	}
	m.verbs.WithLabelValues(verb, result).Inc()
}

// verbRefused counts a verb that came to nothing, by the word somebody sent for it; words
// that are no verbs count together.
func (m *metrics) verbRefused(word string, p *Problem) {
	if word != watchVerb && !slices.Contains(verbNames(), word) {
		word = unknownVerb
	}
	m.verbDone(word, p)
}

// clientGone counts a page that was cut; one that left by itself is no event.
func (m *metrics) clientGone(reason string) {
	if reason != "" {
		m.cut.WithLabelValues(reason).Inc()
	}
}

// timed measures next under the name of its route. A websocket counts when it
// ends, so it is left out.
func (m *metrics) timed(path string, next http.Handler) http.Handler {
	if path == "/ws" {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		start := time.Now()
		watched := &statusWriter{ResponseWriter: w, status: http.StatusOK}
		next.ServeHTTP(watched, r)
		m.requests.WithLabelValues(path, strconv.Itoa(watched.status)).Observe(time.Since(start).Seconds())
	})
}

// statusWriter remembers the status of an answer.
type statusWriter struct {
	http.ResponseWriter
	status int
}

func (w *statusWriter) WriteHeader(status int) {
	w.status = status
	w.ResponseWriter.WriteHeader(status)
}

// Unwrap lets http.ResponseController reach what it needs.
func (w *statusWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// outputCollector tells how the frames go out, from one look at the state.
type outputCollector struct{ s *Server }

var (
	framesDesc  = prometheus.NewDesc("linkboy_output_frames_total", "Frames rendered.", nil, nil)
	lateDesc    = prometheus.NewDesc("linkboy_output_late_p99_seconds", "How late frames are, 99th percentile.", nil, nil)
	delaysDesc  = prometheus.NewDesc("linkboy_output_late_seconds", "How late frames are rendered, from when they are due.", nil, nil)
	firstDesc   = prometheus.NewDesc("linkboy_output_first_frame_seconds", "From a command until its first frame has been sent.", nil, nil)
	skippedDesc = prometheus.NewDesc("linkboy_output_skipped_frames_total", "Frames left out because the loop was late.", nil, nil)
	errorsDesc  = prometheus.NewDesc("linkboy_output_send_errors_total", "Frames that could not be sent.", nil, nil)
	nodesDesc   = prometheus.NewDesc("linkboy_nodes", "Nodes known, by whether they answer.", []string{"state"}, nil)
	buildDesc   = prometheus.NewDesc("linkboy_build_info", "Version of the daemon; always 1.", []string{"version"}, nil)
)

// Describe implements prometheus.Collector.
func (c outputCollector) Describe(ch chan<- *prometheus.Desc) { prometheus.DescribeByCollect(c, ch) }

// Collect implements prometheus.Collector.
func (c outputCollector) Collect(ch chan<- prometheus.Metric) {
	counter := func(desc *prometheus.Desc, v float64) {
		ch <- prometheus.MustNewConstMetric(desc, prometheus.CounterValue, v)
	}
	gauge := func(desc *prometheus.Desc, v float64, labels ...string) {
		ch <- prometheus.MustNewConstMetric(desc, prometheus.GaugeValue, v, labels...)
	}
	out := c.s.director.State().Output
	counter(framesDesc, float64(out.Frames))
	counter(skippedDesc, float64(out.Skipped))
	counter(errorsDesc, float64(out.SendErrors))
	gauge(lateDesc, float64(out.LateUSP99)/1e6)
	ch <- delays(delaysDesc, &out.Late)
	ch <- delays(firstDesc, &out.First)
	var here, lost int
	for _, n := range c.s.nodes() {
		if n.Lost {
			lost++
		} else {
			here++
		}
	}
	gauge(nodesDesc, float64(here), "here")
	gauge(nodesDesc, float64(lost), "lost")
	gauge(buildDesc, 1, c.s.cfg.Version)
}

// delays makes a Prometheus histogram, whose counts are cumulative.
func delays(desc *prometheus.Desc, h *session.Histogram) prometheus.Metric {
	bounds := session.LateBuckets()
	counts, total := make(map[float64]uint64, len(bounds)), uint64(0)
	for i, n := range h.Count {
		total += n
		if i < len(bounds) {
			counts[bounds[i].Seconds()] = total
		}
	}
	return prometheus.MustNewConstHistogram(desc, total, h.Sum.Seconds(), counts)
}
