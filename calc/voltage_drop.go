package calc

import "benchleaf/calc/elementary"

// VoltageDropInputs is the cable, its temperature and what it feeds.
type VoltageDropInputs struct {
	Current      float64      `name:"current" symbol:"I" unit:"A" min:"0" max:"1000" start:"10" metered:"true"`
	Length       float64      `name:"length" symbol:"L" unit:"m" min:"0" max:"1000" start:"2"`
	Area         float64      `name:"area" symbol:"A" unit:"mm²" min:"0.05" max:"120" start:"1.5"`
	Material     Material     `name:"material" options:"copper,aluminium" start:"copper"`
	Construction Construction `name:"construction" options:"solid,stranded" start:"stranded"`
	Temperature  float64      `name:"temperature" symbol:"T" unit:"°C" min:"-50" max:"200" start:"20"`
	Paths        Paths        `name:"paths" symbol:"n" options:"1,2" start:"2"`
	Supply       float64      `name:"supply" symbol:"Uₛ" unit:"V" min:"1" max:"250" start:"12" metered:"true"`
}

// VoltageDropResults is what the cable takes from the supply.
type VoltageDropResults struct {
	Resistance  float64 `name:"resistance" symbol:"R" unit:"mΩ" digits:"4"`
	Drop        float64 `name:"drop" symbol:"ΔU" unit:"V" digits:"4"`
	Percent     float64 `name:"percent" symbol:"p" unit:"%" digits:"3"`
	LoadVoltage float64 `name:"load-voltage" symbol:"U" unit:"V" digits:"4"`
	Loss        float64 `name:"loss" symbol:"P" unit:"W" digits:"3"`
}

// VoltageDrop computes how much of the supply a cable takes for itself. The
// length is that of the cable, one way; where the current comes back by a
// second conductor it passes that length twice, and where it comes back
// through the frame once. The area is that of the metal: strands are 2 %
// longer than their cable. The drop belongs to its current: without the
// current no limit for it means anything. The voltage at the load is not shown
// below zero: a cable that would need more than the supply cannot carry that
// current.
//
// Formula: ρ = ρ₂₀ · (1 + α · (T − 20 °C))
// Formula: R = n · ρ · L / A · k, k = 1 solid, 1.02 stranded
// Formula: ΔU = I · R
// Formula: p = ΔU / Uₛ
// Formula: U = Uₛ − ΔU
// Formula: P = I · ΔU
// Source: IEC 60028:1925, annealed copper: ρ₂₀ = 1/58 Ω·mm²/m, α = 0.00393 /K
// Source: IEC 60889:1987, hard-drawn aluminium: 61 % of that conductivity
// Source: IEC 60287-1-1, Table 1: aluminium α = 0.00403 /K
// Source: Lay of 2 % for stranded conductors: common practice, no source
// Example: current = 10 A, length = 6 m, area = 16 AWG, construction = solid, temperature = 20 °C, supply = 12 V gives resistance = 158.1 mΩ, drop = 1.581 V, percent = 13.2 %, load-voltage = 10.42 V, loss = 15.8 W
func VoltageDrop(in VoltageDropInputs) VoltageDropResults {
	resistance := cableResistance(in.Length, in.Area, in.Material, in.Construction, in.Temperature, in.Paths)
	drop := in.Current * resistance
	return VoltageDropResults{
		Resistance:  resistance,
		Drop:        drop,
		Percent:     drop / in.Supply,
		LoadVoltage: elementary.Max(0, in.Supply-float64(drop)),
		Loss:        in.Current * drop,
	}
}
