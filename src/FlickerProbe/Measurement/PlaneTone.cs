using System.Numerics;

namespace FlickerProbe.Measurement;

/// <summary>One cosine in the plane of ticks × lines: Re( Z · exp(i2π(X·(tick − centre) + Nu·(line − centre))) ).</summary>
/// <param name="X">Cycles per tick, −½…½.</param>
/// <param name="Nu">Cycles per line.</param>
/// <param name="Z">Complex amplitude at the centre of the plane, relative to the mean light.</param>
internal sealed record PlaneTone(double X, double Nu, Complex Z)
{
    /// <summary>Standard deviation of X, cycles per tick.</summary>
    public double XDeviation { get; init; }

    /// <summary>Standard deviation of Nu, cycles per line.</summary>
    public double NuDeviation { get; init; }

    /// <summary>Standard deviation of the amplitude |Z|.</summary>
    public double AmplitudeDeviation { get; init; }

    /// <summary>How much of the amplitude overtones that were not seen may have added or taken away, one standard deviation before it is scaled by the noise about the
    /// tone; 0 where the fit would tell them from it.</summary>
    public double OvertoneDeviation { get; init; }

    /// <summary>Index of the group's fundamental in the list when this tone is tied to it as an overtone; −1 when free.</summary>
    public int TiedTo { get; init; } = -1;

    /// <summary>Overtone number when tied.</summary>
    public int Multiple { get; init; } = 1;

    /// <summary>Index of a second tone when this one is a sum or difference: it lies at Multiple times the first and AlsoMultiple times the second; −1 when not.</summary>
    public int AlsoTiedTo { get; init; } = -1;

    /// <summary>Whole number, below 0 in a difference.</summary>
    public int AlsoMultiple { get; init; }

    /// <summary>Whether only its place matters: nothing is seen of it, but sums and differences with it are.</summary>
    public bool IsUnseen { get; init; }

    /// <summary>Whether it came from the search for beats too slow for the windowed spectrum.</summary>
    public bool Slow { get; init; }

    /// <summary>Amplitude as the search guessed it, before any fit.</summary>
    public double SearchAmplitude { get; init; }

    /// <summary>The same cosine written with both frequencies negative.</summary>
    public PlaneTone Mirrored => this with { X = -X, Nu = -Nu, Z = Complex.Conjugate(Z) };

    /// <summary>Lines from band to band as the picture shows them: finer than two lines it folds.</summary>
    public double RowsPerBand => 1 / Math.Max(Math.Abs(ToneSearch.Wrap(Nu)), 1e-9);

    /// <summary>Fewer bands than this over the coded height are a change of the whole picture.</summary>
    private const double WholePictureBands = 0.25;

    /// <summary>Whether the whole picture changes as one.</summary>
    public bool IsWholePicture(LightMatrix matrix) => Math.Abs(ToneSearch.Wrap(Nu)) * matrix.LinesPerHeight < WholePictureBands;

    /// <summary>Complex amplitude referred to the first tick and line, where the whole cycles by which places in the plane are folded do not count.</summary>
    public Complex AtFirstCell(LightMatrix matrix) =>
        Z * Complex.FromPolarCoordinates(1, -2 * Math.PI * (X * (matrix.Ticks - 1) / 2.0 + Nu * (matrix.Lines - 1) / 2.0));

    /// <summary>Amplitude of the cosine.</summary>
    public double Amplitude => Z.Magnitude;
}
