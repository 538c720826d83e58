using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>A rolling readout that is known: it ties the bands of a light to its alias.</summary>
/// <param name="Seconds">Signed readout time T_r of the coded height, seconds.</param>
/// <param name="RelativeDeviation">Its standard deviation, relative.</param>
/// <param name="TickHz">Ticks per second.</param>
/// <param name="LinesPerHeight">Lines over the coded height.</param>
internal sealed record KnownReadout(double Seconds, double RelativeDeviation, double TickHz, double LinesPerHeight)
{
    /// <summary>Standard deviation that the picture's own geometry adds: a hundredth of a band and two thousandths of all bands.</summary>
    private const double Bands = 0.01, ShareOfBands = 0.002;

    /// <summary>Half-width, in standard deviations, within which a place is possible.</summary>
    private const double Kept = 4;

    /// <summary>Share of the slowest light's bands that is plainly fewer.</summary>
    private const double PlainlyFewer = 0.6;

    /// <summary>Lamps pulse at 50 Hz or more, hertz, a fifth left for the doubt; only sums and differences of two are slower. Common practice, no source.</summary>
    private const double SlowestLampHz = 40;

    /// <summary>The readout of a take; null when it is unknown or global.</summary>
    public static KnownReadout? Of(ReadoutTime? readout, LightMatrix matrix) =>
        readout is { IsGlobal: false } known ? new KnownReadout(known.Seconds, known.RelativeDeviation, matrix.TickHz, matrix.LinesPerHeight) : null;

    /// <summary>Whether bands are so few over the height that even the slowest light would have plainly more: then it is the whole picture that changes.</summary>
    public bool IsBelowLight(double bands) => bands < PlainlyFewer * FrequencyCandidates.SlowestLightHz * Abs(Seconds);

    /// <summary>Whether bands that hardly move are plainly fewer than any lamp makes, which the eye would see pulse below this rate: something else changes in the picture.</summary>
    /// <param name="nu">Band frequency, cycles per line.</param>
    /// <param name="nuDeviation">Its standard deviation.</param>
    public bool IsBelowLamps(double nu, double nuDeviation) => (Abs(nu) + 2 * nuDeviation) * LinesPerHeight < SlowestLampHz * Abs(Seconds);

    /// <summary>Whether some frequency has this alias and these bands: f = (k + x) · F for a whole k, and f · T_r bands over the height.</summary>
    /// <param name="x">Alias, cycles per tick.</param>
    /// <param name="nu">Band frequency, cycles per line.</param>
    /// <param name="nuDeviation">Its standard deviation.</param>
    public bool Allows(double x, double nu, double nuDeviation)
    {
        double bandsPerTickRate = TickHz * Seconds, bands = nu * LinesPerHeight;
        double k = Round(bands / bandsPerTickRate - x);
        double deviation = double.Hypot(nuDeviation * LinesPerHeight, double.Hypot(Bands + ShareOfBands * Abs(bands), RelativeDeviation * bands));
        return Abs((k + x) * TickHz) > FrequencyCandidates.SlowestRollingHz && Abs(bands - (k + x) * bandsPerTickRate) < Kept * deviation;
    }
}
