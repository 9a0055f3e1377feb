package calc

import "benchleaf/calc/elementary"

// Sizing says which of the two series of sizes has one that is thick enough.
type Sizing int

const (
	BothSeries Sizing = iota
	MetricOnly        // 4/0 AWG is too thin, 120 mm² is not
	NoSize
)

// WireSizeInputs is what the cable feeds, how far, and the drop that may be
// lost on the way.
type WireSizeInputs struct {
	Current      float64      `name:"current" symbol:"I" unit:"A" min:"0" max:"1000" start:"10"`
	Length       float64      `name:"length" symbol:"L" unit:"m" min:"0" max:"1000" start:"2"`
	Allowed      float64      `name:"allowed" symbol:"ΔUₘ" unit:"V" min:"0.01" max:"50" start:"0.5"`
	Material     Material     `name:"material" options:"copper,aluminium" start:"copper"`
	Construction Construction `name:"construction" options:"solid,stranded" start:"stranded"`
	Temperature  float64      `name:"temperature" symbol:"T" unit:"°C" min:"-50" max:"200" start:"20"`
	Paths        Paths        `name:"paths" symbol:"n" options:"1,2" start:"2"`
}

// WireSizeResults is the area that the drop asks for, and the sizes that have
// it, each with the drop along it.
type WireSizeResults struct {
	Area       float64 `name:"area" symbol:"A" unit:"mm²" digits:"3" fixed:"true"`
	Gauge      float64 `name:"gauge" symbol:"A₁" unit:"AWG" digits:"2" fixed:"true"`
	GaugeDrop  float64 `name:"gauge-drop" symbol:"ΔU₁" unit:"V" digits:"3"`
	Metric     float64 `name:"metric" symbol:"A₂" unit:"mm²" digits:"2" fixed:"true"`
	MetricDrop float64 `name:"metric-drop" symbol:"ΔU₂" unit:"V" digits:"3"`
	Outcome    Sizing  `name:"outcome" options:"both,metric-only,none"`
}

// gaugeAreas holds the areas in m² of the gauge sizes that are made as cable,
// thinnest first: the even sizes from 30 to 4, then 3, 2, 1, 1/0 to 4/0.
// Source: ASTM B258, areas; NFPA 70 Chapter 9 Table 8, sizes from 18 on; the
// even sizes below 18: common practice, no source.
var gaugeAreas = [...]float64{
	5.092601946355177e-08, 8.097554279066522e-08, 1.2875615646606326e-07, 2.047303081471221e-07,
	3.2553394124546685e-07, 5.176192419280385e-07, 8.230468337313143e-07, 1.308695727755263e-06,
	2.0809077170983776e-06, 3.308772876111475e-06, 5.261154954510375e-06, 8.365564060081021e-06,
	1.3301767890969127e-05, 2.1150639425442834e-05, 2.6670463886482738e-05, 3.363083401934961e-05,
	4.240769870561865e-05, 5.347512073211764e-05, 6.74308822359108e-05, 8.502877257427766e-05,
	0.00010721930257703052,
}

// metricAreas holds the nominal areas of IEC 60228 in m², thinnest first.
var metricAreas = [...]float64{
	0.5e-6, 0.75e-6, 1e-6, 1.5e-6, 2.5e-6, 4e-6, 6e-6, 10e-6, 16e-6, 25e-6, 35e-6, 50e-6, 70e-6, 95e-6, 120e-6,
}

// sizeSlack is what the conversion of units may have cost: a size that is just
// thick enough does not lose its place to the next by a last bit.
const sizeSlack = 1e-9

// leastGauge is the thinnest gauge size of at least that area, or NaN.
func leastGauge(area float64) float64 {
	for i := range len(gaugeAreas) {
		if gaugeAreas[i] >= area {
			return gaugeAreas[i]
		}
	}
	return elementary.NaN()
}

// leastMetric is the thinnest metric size of at least that area, or NaN.
func leastMetric(area float64) float64 {
	for i := range len(metricAreas) {
		if metricAreas[i] >= area {
			return metricAreas[i]
		}
	}
	return elementary.NaN()
}

// WireSize computes the least conductor with which a cable takes no more than
// the allowed drop, and the next sizes of the wire gauge and of the metric
// series that are at least that thick. Of the gauge only the sizes are given
// that are made as cable: below 4 AWG the even ones.
//
// The size is for the drop only. How much current a conductor may carry before
// it grows too hot for its insulation is another limit, with tables of its own,
// and on a short cable it is the one that asks for more; the fuse protects the
// conductor, so it follows the size. Take the temperature that the conductor
// has in service, not that of the shop.
//
// Formula: ρ = ρ₂₀ · (1 + α · (T − 20 °C))
// Formula: A = n · ρ · L · I / ΔUₘ · k, k = 1 solid, 1.02 stranded
// Formula: A₁ ≥ A, the next size of the wire gauge; A₂ ≥ A, the next metric size
// Formula: ΔU₁ = ΔUₘ · A / A₁, ΔU₂ = ΔUₘ · A / A₂
// Source: IEC 60028:1925, annealed copper: ρ₂₀ = 1/58 Ω·mm²/m, α = 0.00393 /K
// Source: IEC 60889:1987 and IEC 60287-1-1, Table 1: aluminium 61 % of that conductivity, α = 0.00403 /K
// Source: ASTM B258, areas of the wire gauge; IEC 60228:2004, nominal areas 0.5 to 120 mm²
// Source: NFPA 70 Chapter 9 Table 8, gauge sizes of cable; even sizes below 18 and a lay of 2 %: common practice, no source
// Example: current = 10 A, length = 6 m, allowed = 0.5 V, construction = solid, temperature = 20 °C gives area = 4.14 mm², gauge = 10 AWG, gauge-drop = 0.393 V, metric = 6 mm², metric-drop = 0.345 V, outcome = both
func WireSize(in WireSizeInputs) WireSizeResults {
	area := in.Current * cableResistance(in.Length, 1, in.Material, in.Construction, in.Temperature, in.Paths) / in.Allowed
	gauge := leastGauge(area * (1 - sizeSlack))
	metric := leastMetric(area * (1 - sizeSlack))
	outcome := BothSeries
	if elementary.IsNaN(metric) {
		outcome = NoSize
	} else if elementary.IsNaN(gauge) {
		outcome = MetricOnly
	}
	return WireSizeResults{
		Area:       area,
		Gauge:      gauge,
		GaugeDrop:  in.Allowed * area / gauge,
		Metric:     metric,
		MetricDrop: in.Allowed * area / metric,
		Outcome:    outcome,
	}
}
