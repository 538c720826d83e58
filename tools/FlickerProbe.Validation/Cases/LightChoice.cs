using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Validation.Cases;

/// <summary>The lamp of a case: its waveform and the mains it hangs on.</summary>
/// <param name="Kind">Name of the family, for the tables of the report.</param>
/// <param name="Lights">The lights with their shares of the surface's light, which sum to 1.</param>
/// <param name="Mains">The mains.</param>
/// <param name="FundamentalsHz">The rates of the drivers, mains ones at nominal; empty for steady light.</param>
internal sealed record LightChoice(string Kind, IReadOnlyList<(Waveform Light, double Share)> Lights, MainsSupply Mains, IReadOnlyList<(double Hertz, bool OnMains)> FundamentalsHz)
{
    /// <summary>Throws for a lamp.</summary>
    public static LightChoice Throw(Dice dice)
    {
        double mainsHz = dice.Of(50.0, 60.0);
        // Offset and swing of an ordinary European or American day; an island grid now and then.
        MainsSupply mains = new()
        {
            NominalHz = mainsHz,
            OffsetHz = dice.Chance(0.05) ? dice.Between(-0.3, 0.3) : dice.Normal(0.02),
            Swings = dice.Chance(0.4) ? [new MainsSwing(dice.LogBetween(0.0005, 0.01), dice.Between(8, 60), dice.Between(0, 2 * Math.PI))] : [],
        };
        string kind = dice.Weighted((9, "steady"), (37, "mains ripple"), (7, "rectified"), (30, "pulses"), (9, "pulses on ripple"), (8, "two lights"));
        switch (kind)
        {
            case "steady":
                return new LightChoice(kind, [(new SteadyLight(), 1)], mains, []);
            case "mains ripple":
                return new LightChoice(kind, [(Ripple(dice, mainsHz), 1)], mains, [(2 * mainsHz, true)]);
            case "rectified":
            {
                RectifiedLight sine = new() { MainsHz = mainsHz, FullWave = !dice.Chance(0.1), PhaseCycles = dice.Share() };
                // A smoothing capacitor as seen from afar: a share of steady output beside the half waves.
                Waveform lamp = dice.Chance(0.4) ? sine : new SumLight { Parts = [sine, new SteadyLight { Output = dice.LogBetween(0.1, 20) }] };
                return new LightChoice(kind, [(lamp, 1)], mains, [(sine.FullWave ? 2 * mainsHz : mainsHz, true)]);
            }
            case "pulses":
            {
                PulseLight pulses = Pulses(dice);
                return new LightChoice(kind, [(pulses, 1)], mains, [(pulses.FrequencyHz, false)]);
            }
            case "pulses on ripple":
            {
                PulseLight pulses = Pulses(dice);
                return new LightChoice(kind, [(Ripple(dice, mainsHz).Times(pulses), 1)], mains, [(2 * mainsHz, true), (pulses.FrequencyHz, false)]);
            }
            default:
            {
                PulseLight pulses = Pulses(dice);
                double share = dice.Between(0.2, 0.8);
                return new LightChoice(kind, [(Ripple(dice, mainsHz), share), (pulses, 1 - share)], mains, [(2 * mainsHz, true), (pulses.FrequencyHz, false)]);
            }
        }
    }

    /// <summary>The lamp at another time of the evening: the clocks of its drivers run this many times as fast, the mains as they were.</summary>
    public LightChoice WithClocksAt(double rate) => this with
    {
        Lights = [.. Lights.Select(l => (l.Light.WithEachLeaf(leaf => leaf is PulseLight { MainsLocked: false } p ? p with { FrequencyHz = p.FrequencyHz * rate } : leaf), l.Share))],
        FundamentalsHz = [.. FundamentalsHz.Select(f => f.OnMains ? f : (f.Hertz * rate, false))],
    };

    private static TonesLight Ripple(Dice dice, double mainsHz)
    {
        double depth = dice.Chance(0.3) ? dice.LogBetween(0.001, 0.02) : dice.LogBetween(0.02, 0.6);
        List<Harmonic> series = [new Harmonic(1, depth, dice.Between(0, 2 * Math.PI))];
        // Overtones fall off; together they never drive the light below zero.
        double room = Math.Min(0.95 - depth, 0.6 * depth);
        int overtones = dice.Weighted((40, 0), (30, 1), (20, 2), (10, 4));
        for (int order = 2; order <= overtones + 1 && room > 0; order++)
        {
            double amplitude = room * dice.Between(0.05, 0.6);
            room -= amplitude;
            series.Add(new Harmonic(order, amplitude, dice.Between(0, 2 * Math.PI)));
        }
        return new TonesLight { FundamentalHz = 2 * mainsHz, Harmonics = series, MainsLocked = true };
    }

    private static PulseLight Pulses(Dice dice)
    {
        // Round numbers are what makers choose; some are locked to common frame rates, which is the trap.
        double hertz = dice.Chance(0.35)
            ? dice.Of(100.0, 120, 200, 240, 250, 300, 400, 500, 600, 600, 800, 1000, 1000, 1200, 1500, 2000, 2400, 3000, 4000, 5000, 16000, 25000)
            : dice.Chance(0.6) ? dice.LogBetween(100, 3000) : dice.LogBetween(3000, 30_000);
        // No crystal is exact.
        if (!dice.Chance(0.15)) hertz *= 1 + dice.Normal(5e-5);
        double duty = dice.Between(0.03, 0.97);
        double low = dice.Chance(0.55) ? 0 : dice.Chance(0.7) ? dice.Between(0.05, 0.9) : 1 - dice.LogBetween(0.004, 0.1);
        double edge = dice.Chance(0.4) ? dice.Between(0.02, 0.5) * Math.Min(duty, 1 - duty) / hertz : 0;
        return new PulseLight { FrequencyHz = hertz, Duty = duty, Low = low, EdgeSeconds = edge, PhaseCycles = dice.Share() };
    }
}
