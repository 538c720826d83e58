using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>Works out what a measured light will show on a camera set to any format.</summary>
/// <remarks>
/// Each component passes the exposure with its signed gain sinc(f Tₑ); overtones whose phases are known are put together to a waveform,
/// all else meets at the worst phase; doubts about amplitude, frequency and shutter are carried through (see <see cref="WaveformDepth"/>).
/// What the takes could not have shown is added to the upper end.
/// Make one per light and ask it for many formats: the unit waveforms are kept.
/// </remarks>
public sealed class Forecaster
{
    /// <summary>Smallest on-camera amplitude that counts as showing, for the list of beats and the wording: a tenth of the usual pass line. The project's own choice.</summary>
    public const double ShowsFrom = 0.001;

    private readonly LightEstimate _light;
    private readonly HiddenBound _hidden;
    private readonly List<(LightComponent[] Components, double[][] Basis)> _groups = [];
    private readonly List<(IReadOnlyList<(Estimate FrequencyHz, Estimate Amplitude)> Candidates, bool IsOfUnknownKin)> _loose = [];

    /// <summary>Prepares the forecasts of one light.</summary>
    public Forecaster(LightEstimate light)
    {
        ArgumentNullException.ThrowIfNull(light);
        _light = light;
        _hidden = HiddenBound.Of(light.Blind);
        foreach (IGrouping<int?, LightComponent> group in light.Components.GroupBy(c => IsCoherent(c) ? c.Group : null))
        {
            if (group.Key is null) _loose.AddRange(group.Select(c => (ToneThroughFormat.Candidates(c, light.Blind), c.Group is null)));
            else _groups.Add(([.. group], CoherentGroup.Basis([.. group])));
        }
    }

    /// <summary>What the light will show at one format. Equals <see cref="At"/> of a fresh forecaster.</summary>
    public static FormatForecast Forecast(LightEstimate light, CameraFormat format) => new Forecaster(light).At(format);

    /// <summary>As <see cref="Forecast(LightEstimate, CameraFormat)"/>, with a take at this very setting in place of the forecast where there is one.</summary>
    public static FormatForecast Forecast(LightEstimate light, CameraFormat format, IReadOnlyList<TakeMeasurement> takes) =>
        DirectMeasurement.Apply(Forecast(light, format), takes);

    /// <summary>What the light will show at one format.</summary>
    public FormatForecast At(CameraFormat format)
    {
        List<LightPiece> pieces = [.. _groups.Select(g => new CoherentGroup(g.Basis,
            [.. g.Components.Select(c => ToneThroughFormat.Of(c.FrequencyHz, c.Amplitude, format.Exposure))]))];
        pieces.AddRange(_loose.Select(l => new LooseTone([.. l.Candidates.Select(t => ToneThroughFormat.Of(t.FrequencyHz, t.Amplitude, format.Exposure))], l.IsOfUnknownKin)));

        HiddenRemainder hidden = _hidden.At(format);
        Estimate depth = WaveformDepth.Of(pieces, hidden.Depth);
        CameraTone[] tones = [.. pieces.SelectMany(p => p.Tones)];
        List<CameraTone> showing = [.. tones.Where(t => t.Magnitude >= ShowsFrom).OrderByDescending(t => t.Magnitude)];
        Estimate pulsing = WholePicturePulsing.Depth(pieces, format, hidden.Pulsing);
        (Appearance appearance, double? bands) = Look(showing, format);
        FormatForecast forecast = new(format, depth, pulsing, Beats(showing, format), bands, appearance, []) { Hidden = hidden, Tones = tones };
        return forecast with { Doubts = ForecastDoubts.Of(forecast, _light, showing) };
    }

    private static bool IsCoherent(LightComponent component) =>
        component is { State: ComponentState.Resolved, Group: not null, HarmonicNumber: >= 1, PhaseRadians: not null };

    private static List<double> Beats(List<CameraTone> showing, CameraFormat format)
    {
        List<double> beats = [];
        if (format.Rate.IsStandIn) return beats;
        foreach (CameraTone tone in showing)
        {
            double beat = Abs(AliasFrequency.Of(tone.FrequencyHz.Value, format.Rate));
            if (!beats.Exists(b => Abs(b - beat) < 0.005)) beats.Add(beat);
        }
        return beats;
    }

    private static (Appearance Appearance, double? Bands) Look(List<CameraTone> showing, CameraFormat format)
    {
        if (showing.Count == 0) return (Appearance.Nothing, null);
        double frequency = showing[0].FrequencyHz.Value;
        double? bands = frequency * Abs(format.Readout?.Seconds ?? double.NaN) is var count && double.IsNaN(count) ? null : count;
        if (bands < 0.5) return (Appearance.Pulsing, bands);
        if (format.Rate.IsStandIn) return (Appearance.Bands, bands);
        // What stands still is a band whatever the readout: a picture that is pulsed by nothing does not pulse.
        if (Abs(AliasFrequency.Of(frequency, format.Rate)) < 0.02) return (Appearance.StandingBands, bands);
        return (bands is null ? Appearance.RollingOrPulsing : Appearance.RollingBands, bands);
    }
}
