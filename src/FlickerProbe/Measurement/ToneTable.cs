using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>The found tones in hertz, with candidates, intervals and their parts, largest first.</summary>
internal static class ToneTable
{
    /// <summary>No driver is thought to pulse faster than this, hertz.</summary>
    private const double FastestLightHz = 100_000;

    /// <summary>Share by which less than one slow band in the region may come out wrong, one standard deviation: the project's own, from rendered clips.</summary>
    private const double FewBands = 0.12;

    /// <summary>The same where the band hardly moves either: half or twice as many, half or twice as strong, slope alike.</summary>
    private const double SlopingBands = 0.3;

    /// <summary>Bands that move less than this many cycles in the clip may be several that were taken for one, and so many bands off (one standard deviation).</summary>
    private const double BlendedCycles = 0.25, BlendedBands = 0.3;

    /// <summary>Cells of the plane by which drift as strong as a slow beat may pull it, one standard deviation: the project's own, from rendered clips.</summary>
    private const double DriftCells = 0.5;

    /// <summary>A sum of two lights with more pairs of candidates than this is left without a rate.</summary>
    private const int MostSums = 100;

    /// <summary>Builds the table.</summary>
    public static IReadOnlyList<Tone> Build(
        SampledTake take, SensorClock clock, LightMatrix matrix, ToneModel model, CompressionLoss loss, double asDrift, StandingShare standing, FrameMixing? mixing)
    {
        OvertoneGrouping.Grouping grouping = model.Grouping;
        double limit = Sqrt(model.PowerRatioNeeded * model.Floor.High);
        double tickHzRelative = clock.TickHzDeviation / clock.TickHz;
        // A rate is a multiple of the frame rate and an alias: an error of the camera's clock is in it whole.
        DeviationParts OnClock(DeviationParts aliasHz, double[] hertz) => hertz.Length == 1 ? aliasHz.And("time stamps", hertz[0] * tickHzRelative) : aliasHz;
        double loudest = model.Fit.Tones.Length == 0 ? 0 : model.Fit.Tones.Max(t => t.Amplitude);
        var sightings = new List<FrequencyCandidates.Sighting>();
        ToneSteadiness.Wander[] wanders = Wanders(model, matrix);
        var leads = new List<(double X, DeviationParts Doubt, double Bands, double BandsDeviation)>();
        for (int number = 0; number < grouping.Groups.Count; number++)
        {
            OvertoneGrouping.ToneGroup group = grouping.Groups[number];
            (double x, double xDeviation, double nu, double nuDeviation) = Lead(model, group);
            double bands = nu * matrix.LinesPerHeight, bandsDeviation = Max(nuDeviation * matrix.LinesPerHeight, 1e-6);
            // Every member sets a limit: an overtone is a tone of the light too.
            bool slow = group.Members.Exists(m => ToneModel.IsSlow(model.Fit.Tones[m.Tone], matrix));
            double amplitude = group.Members.Max(m => model.Fit.Tones[m.Tone].Amplitude * m.Multiple);
            (int leadTone, int leadMultiple, bool leadMirrored) = group.Members.MaxBy(m => model.Fit.Tones[m.Tone].Amplitude);
            PlaneTone lead = model.Fit.Tones[leadTone];
            // A tone at a null of the shutter is known by its sums and differences.
            double strongest = grouping.Combinations.Where(c => (c.FirstGroup == number || c.SecondGroup == number) && model.Fit.Tones[c.Tone].AlsoTiedTo >= 0)
                .Select(c => model.Fit.Tones[c.Tone].Amplitude).Append(lead.Amplitude).Max();
            amplitude = Max(amplitude, strongest);
            // Beside noise, the picture's own geometry and flattening by the encoder bend the bands a little.
            double flattened = Min(1, loss.DeadZone / strongest);
            double systematic = 0.01 + 0.002 * bands + (0.1 + 0.15 * flattened * flattened * flattened) * flattened
                + (slow ? 0.3 * strongest * strongest : 0);
            // Less than one slow band in the region and a drift of the level bend each other; of one that only slopes not even its length is sure.
            if (ToneModel.IsSlow(lead, matrix) && bands * matrix.Lines / matrix.LinesPerHeight < 1)
                systematic += bands * Max(FewBands * Min(1, 3 * flattened + 8 * asDrift / strongest), standing.Holds(lead) ? SlopingBands * standing.Unsure(lead) : 0);
            ToneSteadiness.Wander wander = wanders[leadTone];
            x += (leadMirrored ? -1 : 1) * wander.Shift / leadMultiple / matrix.Ticks;
            DeviationParts doubt = DeviationParts.Of(
                ("noise", xDeviation), ("compression", loss.CellsPulled(strongest, slow) / matrix.Ticks), ("wandering phase", wander.Deviation / leadMultiple / matrix.Ticks));
            // What was taken for drift may be part of a slow beat, whose pace then comes out wrong too.
            if (ToneModel.IsSlow(lead, matrix) && asDrift > 0) doubt = doubt.And("level drift", Max(0.25 * Abs(x), DriftCells / matrix.Ticks) * Min(1, asDrift / strongest));
            if (standing.Holds(lead)) doubt = doubt.And("standing bands", Abs(x) / 2 * standing.Unsure(lead));
            if (take.Readout is { } known && take.Exposure is { } exposure) systematic += standing.BandsBent(bands, known, exposure);
            bandsDeviation = double.Hypot(bandsDeviation, systematic);
            leads.Add((x, doubt, bands, bandsDeviation));
            sightings.Add(new FrequencyCandidates.Sighting(x * matrix.TickHz, bands, bandsDeviation, HighestHz(take.Exposure, amplitude, LargestAmplitude), Min(FastestPulsesHz, HighestHz(take.Exposure, amplitude, group.Members.Count > 1 ? LargestAmplitude : LargestAlone)), strongest > 3 * limit && strongest > 0.2 * loudest));
        }

        double? readout = take.Readout?.Seconds;
        double readoutDeviation = take.Readout?.RelativeDeviation ?? 0;
        List<FrequencyCandidates.Candidate> FromAliasAlone(FrequencyCandidates.Sighting s) => FrequencyCandidates.FromAliasAlone(s.AliasHz, matrix.TickHz, Min(s.HighestHz, FastestPulsesHz));
        List<FrequencyCandidates.Candidate>[] candidates;
        if (readout is 0)
        {
            candidates = [.. sightings.Select(FromAliasAlone)];
        }
        else
        {
            FrequencyCandidates.ReadoutRange[] ranges = FrequencyCandidates.Ranges(readout, readoutDeviation, 1 / matrix.TickHz);
            candidates = FrequencyCandidates.Resolve(sightings, ranges, matrix.TickHz, matrix.LinesPerHeight, matrix.Parities, readout, readoutDeviation);
            for (int g = 0; g < candidates.Length; g++)
            {
                if (readout is not null)
                {
                    // Bands that all but stand still and are not the mains' are a pulse train's, whose overtones all but stand still too: which of them was seen hangs on the fit.
                    // At half the frame rate the picture goes back and forth between two, and one picture's shading is all that tells the bands.
                    // Where several overtones are told apart they hold the place.
                    if (CyclesFromStill(leads[g].X) * matrix.Ticks > BlendedCycles || grouping.Groups[g].Members.Count > 2 || candidates[g].Exists(c => FrequencyCandidates.IsMainsRipple(c.Hertz))) continue;
                    FrequencyCandidates.Sighting blended = sightings[g] with { BandsDeviation = double.Hypot(sightings[g].BandsDeviation, BlendedBands) };
                    List<FrequencyCandidates.Candidate> wider = FrequencyCandidates.Resolve([blended], ranges, matrix.TickHz, matrix.LinesPerHeight, matrix.Parities, readout, readoutDeviation)[0];
                    // Beside mains ripple its neighbours are left out; what was found by itself stays.
                    candidates[g] = [.. candidates[g].Concat(wider).DistinctBy(c => Round(c.Hertz, 9)).OrderBy(c => c.Hertz)];
                }
                // No bands and no known readout: it may be a global shutter, where the alias alone speaks.
                else if (sightings[g].Bands < 3 * sightings[g].BandsDeviation + 0.1)
                {
                    candidates[g] = FromAliasAlone(sightings[g]);
                }
            }
        }

        var tones = new List<Tone>();
        for (int g = 0; g < grouping.Groups.Count; g++)
        {
            foreach ((int index, int multiple, bool mirrored) in grouping.Groups[g].Members)
            {
                double[] hertz = [.. candidates[g].Select(c => c.Hertz * multiple)];
                tones.Add(Row(model, matrix, loss, index, wanders[index], mirrored, hertz, OnClock(leads[g].Doubt.Scale(multiple * matrix.TickHz), hertz), g, multiple, limit, asDrift, standing, mixing));
            }
        }
        foreach (OvertoneGrouping.Combination c in grouping.Combinations)
        {
            // A sum or difference follows its two fundamentals.
            List<FrequencyCandidates.Candidate> first = candidates[c.FirstGroup], second = candidates[c.SecondGroup];
            double[] hertz = first.Count * second.Count > MostSums ? []
                : [.. first.SelectMany(f => second.Select(s => Abs(c.A * f.Hertz + c.B * s.Hertz))).Order().DistinctBy(f => Round(f, 6))];
            PlaneTone tone = model.Fit.Tones[c.Tone];
            tones.Add(Row(model, matrix, loss, c.Tone, wanders[c.Tone], c.Mirrored, hertz, OnClock(AliasDoubtHz(model, matrix, loss, tone, wanders[c.Tone]), hertz), null, null, limit, asDrift, standing, mixing));
        }
        // What may as well be nothing is not stated; a fundamental that other tones hang on is.
        return [.. tones.Where(t => t.Amplitude.Low > 0 || (t.HarmonicNumber == 1 && tones.Exists(o => o != t && o.Group == t.Group && o.Amplitude.Low > 0))).OrderByDescending(t => t.Amplitude.Value)];
    }

    /// <summary>Dimmers that switch the light fully on and off do so up to some 25 kHz (check values §11, from memory); faster ripple is faint.</summary>
    public const double FastestPulsesHz = 40_000;

    /// <summary>Largest amplitude of one tone of a light relative to its mean: narrow pulses.</summary>
    private const double LargestAmplitude = 2;

    /// <summary>The same for patterns finer than the rows that show no overtones: 4/π, light that is off half the time. Narrower pulses have a second one.</summary>
    public const double LargestAlone = 4 / PI;

    /// <summary>The highest frequency whose light would still be possible: |G| ≤ 1/(π f Tₑ) and no light's tone exceeds twice its mean.</summary>
    public static double HighestHz(ExposureTime? exposure, double amplitude, double largestAmplitude) =>
        exposure is null ? FastestLightHz / 5 : Clamp(largestAmplitude / (PI * exposure.Seconds * Max(amplitude, 1e-6)), 500, FastestLightHz);

    /// <summary>How far an alias is from standing still, or from going back and forth between two pictures, cycles per tick.</summary>
    private static double CyclesFromStill(double x) => Min(Abs(x), 0.5 - Abs(x));

    /// <summary>A group's fundamental from all its members, weighted by how well each knows it.</summary>
    private static (double X, double XDeviation, double Nu, double NuDeviation) Lead(ToneModel model, OvertoneGrouping.ToneGroup group)
    {
        int at = group.Members.FindIndex(m => m.Multiple == 1 && model.Fit.Tones[m.Tone].TiedTo < 0);
        if (at >= 0)
        {
            PlaneTone tone = model.Fit.Tones[group.Members[at].Tone];
            double sign = group.Members[at].Mirrored ? -1 : 1;
            double noise = model.NoiseScale(tone);
            return (ToneSearch.Wrap(sign * tone.X), tone.XDeviation * noise, Abs(ToneSearch.Wrap(tone.Nu)), tone.NuDeviation * noise);
        }
        (int index, int multiple, bool _) = group.Members.MaxBy(m => model.Fit.Tones[m.Tone].Amplitude);
        PlaneTone strongest = model.Fit.Tones[index];
        double scale = model.NoiseScale(strongest);
        return (group.X, strongest.XDeviation * scale / multiple, Abs(group.Nu), strongest.NuDeviation * scale / multiple);
    }

    /// <summary>What makes a tone's alias doubtful, standard deviations in hertz.</summary>
    private static DeviationParts AliasDoubtHz(ToneModel model, LightMatrix matrix, CompressionLoss loss, PlaneTone tone, ToneSteadiness.Wander wander) => DeviationParts.Of(
        ("noise", tone.XDeviation * model.NoiseScale(tone) * matrix.TickHz),
        ("compression", loss.CellsPulled(tone.Amplitude, ToneModel.IsSlow(tone, matrix)) / matrix.Ticks * matrix.TickHz),
        ("wandering phase", wander.Deviation / matrix.Ticks * matrix.TickHz));

    /// <summary>How each tone of the fit wanders. Beside bands that hardly move stands what drift of the level leaves, which is no wandering.</summary>
    private static ToneSteadiness.Wander[] Wanders(ToneModel model, LightMatrix matrix)
    {
        var wanders = new ToneSteadiness.Wander[model.Fit.Tones.Length];
        Parallel.For(0, wanders.Length, i => wanders[i] = ToneModel.IsSlow(model.Fit.Tones[i], matrix) ? ToneSteadiness.None : ToneSteadiness.Of(matrix, model.Fit, model.Fit.Tones[i]));
        return wanders;
    }

    private static Tone Row(
        ToneModel model, LightMatrix matrix, CompressionLoss loss, int number, ToneSteadiness.Wander wander, bool mirrored,
        double[] hertz, DeviationParts doubtHz, int? group, int? multiple, double limit, double asDrift, StandingShare standing, FrameMixing? mixing)
    {
        PlaneTone tone = model.Fit.Tones[number];
        double noise = model.NoiseScale(tone);
        double sign = mirrored ? -1 : 1;
        (double restoring, double restoringDeviation) = model.Prediction.Restoring(number);
        double seen = tone.Amplitude * restoring, restored = Estimate.Coverage95 * restoringDeviation * tone.Amplitude;
        double spread = Estimate.Coverage95 * tone.AmplitudeDeviation * noise, overtones = double.Hypot(spread, model.OvertonesIn(tone)) - spread;
        double distortion = loss.Distortion(model.Fit.Tones.Max(t => t.Amplitude), model.Fit.Tones.Sum(t => t.Amplitude));
        double rowsPerBand = tone.RowsPerBand, carrier = model.Fit.Tones.Where(t => t.RowsPerBand > CompressionLoss.CarriedBandRows).Select(t => t.Amplitude).DefaultIfEmpty().Max();
        // A band or so that hardly moves and the drift of the level take from each other.
        double wandered = (wander.Gain - 1) * tone.Amplitude;
        double drifted = ToneModel.IsSlow(tone, matrix) && Abs(ToneSearch.Wrap(tone.Nu)) * matrix.Lines < 1.5 ? asDrift / 2 : 0;
        double stands = standing.Of(tone), pumped = loss.PumpedOf(tone, matrix);
        double faded = mixing is null ? 0 : tone.Amplitude * (1 / mixing.Left(tone.X) - 1);
        double high = Min(LargestAmplitude, loss.Highest(seen + spread + overtones, rowsPerBand, carrier) + restored + distortion + drifted + wandered + faded + stands), value = Min(seen, high);
        var amplitude = new Estimate(value, Clamp(loss.Lowest(seen - spread - Min(overtones, UnseenOvertones.MostTaken * seen), rowsPerBand, carrier) - restored - distortion - drifted - pumped - value * Min(0.5, standing.Unsure(tone)), 0, value), high);
        double x = ToneSearch.Wrap(sign * (tone.X + wander.Shift / matrix.Ticks)), nu = ToneSearch.Wrap(sign * tone.Nu);
        return new Tone(
            Estimate.Normal(x * matrix.TickHz, AliasDoubtHz(model, matrix, loss, tone, wander).Total),
            Estimate.Normal(nu * matrix.LinesPerHeight, double.Hypot(tone.NuDeviation * noise * matrix.LinesPerHeight, 2e-4 * Abs(nu) * matrix.LinesPerHeight)),
            amplitude,
            sign * tone.AtFirstCell(matrix).Phase,
            hertz.Length == 1 ? Estimate.Normal(hertz[0], doubtHz.Total) : null,
            hertz,
            group,
            multiple)
        {
            TimesLimit = tone.Amplitude / Max(limit, 1e-12),
            FrequencyParts = hertz.Length == 1 ? doubtHz.HalfWidths : [],
            Parts = PartsOf(high - value, ("noise", spread), ("faint overtones", overtones), ("level drift", drifted), ("wandering phase", wandered), ("mixed frames", faded), ("standing bands", stands)),
        };
    }

    /// <summary>The parts of a half-width: those named, and the encoder's for what they leave.</summary>
    private static IReadOnlyList<UncertaintyPart> PartsOf(double halfWidth, params (string Cause, double HalfWidth)[] named) =>
        UncertaintyPart.List([.. named, ("compression", halfWidth - named.Sum(p => p.HalfWidth))]);
}
