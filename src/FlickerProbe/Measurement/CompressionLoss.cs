using FlickerProbe.Footage;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>How much of a faint, regular change the encoder may have thrown away, judged from the recording itself.</summary>
/// <remarks>
/// <para>An encoder rounds change away below a step of its quantiser. The step is not in the picture, but the finer it is, the more bits a
/// pixel costs. The dead zones used here for b bits a pixel, 0.075 · b^−0.8 codes for bands of more than 40 rows and 0.12 · b^−0.7 for finer
/// ones, a quarter of that for each further bit above one and a half, never more than 0.9 and 1.3 codes, finer bands never less than 0.06 of
/// the step that the noise was coded with, are the upper envelope of what was lost on some 700 rendered clips of six codecs over all strengths
/// (reports/validation.md holds the figures on other clips). They are the project's own; no published source. Wide bands that
/// stand clear of it lose a quarter of it and two hundredths of themselves at most.</para>
/// <para>Without compression only rounding to whole codes is left: noise under about half a code does not smooth its steps away. The
/// distortion of a rounded signal with Gaussian noise σ falls as exp(−2π²σ²): Widrow &amp; Kollár, "Quantization Noise", 2008 (from memory).</para>
/// </remarks>
/// <param name="DeadZone">Change of light, relative to the mean, that may have vanished, however fine its bands.</param>
/// <param name="WideDeadZone">The same for bands of more than 40 rows.</param>
/// <param name="Staircase">Error of an amplitude from rounding to codes without enough noise to smooth it, relative to the mean.</param>
/// <param name="RelativeLoss">Share of any amplitude, however large, that may have vanished.</param>
/// <param name="UnchangedShare">Share of pixels unchanged from frame to frame; null for stills.</param>
/// <param name="EightBitCode">Change of light for one 8-bit code at the region's level, relative to the mean.</param>
internal sealed record CompressionLoss(double DeadZone, double WideDeadZone, double Staircase, double RelativeLoss, double? UnchangedShare, double EightBitCode)
{
    /// <summary>Share by which noise that is cut off at black may have raised the mean light, to which amplitudes refer; 0…1.</summary>
    /// <remarks>Gaussian noise of deviation σ cut off at its middle has the mean σ/√(2π).</remarks>
    public double DarkLift { get; init; }

    /// <summary>Amplitude by which the whole picture may pulse, relative to its mean, without any light doing so: an encoder keeps more of the noise in one frame
    /// than in the next, and noise of codes raises the mean of the light that they stand for.</summary>
    /// <remarks>Light that a code multiplies by a constant factor for each step further, the steepest of the curves in use, has with Gaussian noise of deviation σ
    /// the mean exp(s²σ²/2) times that of the middle code, s being the relative step (mean of the log-normal distribution). From none to all of it is the most that frames can differ.</remarks>
    public double PumpedByNoise { get; init; }

    /// <summary>Share of the light that comes from clipped pixels, 0…1: the tops of their waveform are cut off.</summary>
    public double ClippedLight { get; init; }

    /// <summary>By how much light that was clipped may have stood over the ceiling on average, relative to it; each tone errs by up to twice that. The
    /// project's own choice: nothing in the picture tells how much was cut off.</summary>
    private const double OverCeiling = 0.1;

    /// <summary>Whether the recording holds the sensor's noise as it was, frame for frame, or nearly so: each frame kept for itself, or bits enough for the noise.</summary>
    public bool KeepsNoise { get; init; }

    /// <summary>Change of light, relative to the mean, that may have vanished whole where nothing is seen of it: at least <see cref="DeadZone"/>.</summary>
    /// <remarks>With fewer bits than a hundredth a pixel or so, an encoder repeats its own picture and leaves out what differs, up to several codes. What it did code
    /// tells of steps no wider than the dead zones; what may be hidden is the same curve carried on, to eight codes at most. That is the upper envelope of some 300
    /// clips by ffmpeg alone, noise of 0 to 4 codes, in H.264, HEVC, VP9, AV1, MPEG-4 and Motion JPEG over all strengths: the most that vanished whole were 8.0 codes, at
    /// 0.0007 bits a pixel. The project's own; no published source.</remarks>
    public double Vanishing { get; private init; }

    /// <summary>The loss beside plain flicker, which has an encoder code every part of the picture: what vanishes there stays within the dead zone.</summary>
    public CompressionLoss BesidePlainFlicker => this with { Vanishing = DeadZone };

    /// <summary>Whether the encoder had so few bits that more than its dead zone may have vanished.</summary>
    public bool IsStarved => Vanishing > DeadZone;

    /// <summary>The most that vanished whole, in 8-bit codes.</summary>
    private const double MostVanishing = 8;

    /// <summary>Share of pixels unchanged from frame to frame from which, sizes unknown, the encoder may have repeated its own picture.</summary>
    private const double NothingChanges = 0.85;

    /// <summary>Bits a pixel from which an encoder that predicts frames keeps most of their noise: in 41 of 44 rendered clips with more, the fastest noise kept more than
    /// half the power of the slowest; of the starved ones some lost seven eighths. Chosen from those clips, the project's own; no published source.</summary>
    private const double NoiseBits = 0.5;

    /// <summary>Bands of more rows than this are wide to an encoder's blocks.</summary>
    public const double WideBandRows = 40;

    /// <summary>Bands of more rows than this reach over more than one of an encoder's blocks, so that its lowest coefficients carry them.</summary>
    public const double CarriedBandRows = 20;

    /// <summary>Share that wide bands lose at most, however starved the encoder.</summary>
    private const double WideRelativeLoss = 0.02;

    /// <summary>Rows of the picture for each row that the encoder had.</summary>
    public int RowsPerSample { get; init; } = 1;

    /// <summary>Whether bands of so many rows of the picture are wide in the rows that the encoder had.</summary>
    private bool AreWide(double rowsPerBand) => rowsPerBand > WideBandRows * RowsPerSample;

    /// <summary>Change that may have vanished from bands of so many rows.</summary>
    public double DeadZoneOf(double rowsPerBand) => AreWide(rowsPerBand) ? WideDeadZone : DeadZone;

    /// <summary>How much an encoder may have taken from bands.</summary>
    /// <remarks>A quantiser with a dead zone swallows what stays inside it whole; the larger the change, the smaller the part it loses. Bands that
    /// an encoder's lowest coefficients carry are coded well as soon as they stand clear of it, faint ones that ride on strong ones too: the
    /// strong ones carry them over the steps, as dither does. Finer bands may lose all of it.</remarks>
    /// <param name="rowsPerBand">Rows from one of the bands to the next.</param>
    /// <param name="strongest">Amplitude of the strongest tone with bands of more than a block, these bands included.</param>
    public double SwallowedOf(double rowsPerBand, double strongest)
    {
        double zone = DeadZoneOf(rowsPerBand);
        return rowsPerBand > CarriedBandRows * RowsPerSample ? zone * Clamp(0.6 * zone / Max(strongest, 1e-9), 0.25, 1) : zone;
    }

    /// <summary>The largest true amplitude or depth that may stand behind what was seen: clipped light may have pulsed as deeply, and shows none of it.</summary>
    public double Highest(double seen, double rowsPerBand, double strongest) =>
        seen * (1 + DarkLift + ClippedLight / Max(0.05, 1 - ClippedLight) + (AreWide(rowsPerBand) ? Min(RelativeLoss, WideRelativeLoss) : RelativeLoss)) + SwallowedOf(rowsPerBand, Max(seen, strongest)) + Staircase;

    /// <summary>The smallest true amplitude or depth that may stand behind what was seen.</summary>
    public double Lowest(double seen, double rowsPerBand, double strongest) =>
        Max(0, seen - 0.5 * SwallowedOf(rowsPerBand, Max(seen, strongest)) - Staircase);

    /// <summary>What of an amplitude or depth may be the encoder's pumping of noise: nothing where bands cross the picture.</summary>
    public double PumpedOf(PlaneTone tone, LightMatrix matrix) => tone.IsWholePicture(matrix) ? PumpedByNoise : 0;

    /// <summary>The on-camera amplitude over which a tone is the light's and not the encoder's, when without compression that is <paramref name="limit"/>.</summary>
    public double Limit(double limit) => limit + DeadZone + Staircase;

    /// <summary>The on-camera amplitude below which this recording may show nothing, when without compression it would show <paramref name="limit"/>.</summary>
    public double Hidden(double limit) => limit + Vanishing + Staircase;

    /// <summary>Fainter tones beside one of this amplitude may be the encoder's own doing.</summary>
    public double SpurFloor(double strongest) => Staircase + (IsLossy ? 0.02 * strongest + Min(0.1 * EightBitCode, DeadZone) : 0.004 * RelativeLoss / 0.005 * strongest);

    /// <summary>How much more of a tone beside one of this amplitude an encoder may swallow, since the strong one decides which steps are taken.</summary>
    /// <remarks>The project's own, from rendered clips; no published source.</remarks>
    public double Shadow(double strongest) => IsLossy ? 0.01 * strongest : 0;

    /// <summary>Error that strong flicker's own distortion in the recording puts on every tone of it.</summary>
    /// <remarks>Even without compression: where deep flicker dips to black, noise is cut off on one side and lifts the mean; where it is clipped, tops are missing.</remarks>
    /// <param name="strongest">Amplitude of the strongest tone.</param>
    /// <param name="together">Sum of all amplitudes: how far the light can dip.</param>
    public double Distortion(double strongest, double together) =>
        0.003 * Max(RelativeLoss > 0 ? strongest : 0, Min(1, together) * Min(1, together)) + 2 * OverCeiling * ClippedLight * Min(1, strongest);

    /// <summary>Standard deviation by which the encoder may pull a tone's alias, in cells of the plane (one over the clip's length).</summary>
    /// <remarks>What it swallows of a cosine is a cosine near by: with a share ε of the amplitude it moves the best fit by a fraction of ε of a
    /// cell. Bands that hardly move are coded least often and pulled a little in any case. The project's own, from rendered clips; no published source.</remarks>
    public double CellsPulled(double amplitude, bool slow) =>
        0.15 * Min(1, WideDeadZone / Max(amplitude, 1e-9)) + (slow && IsLossy ? 0.012 : 0);

    /// <summary>Whether the encoder changes the picture beyond rounding, other than in the finest editing codecs.</summary>
    public bool IsLossy => RelativeLoss > 0.01;

    /// <summary>Reads the tell-tales.</summary>
    /// <param name="traits">The recording.</param>
    /// <param name="level">How light the region is: what part of it lies at black, and what is clipped.</param>
    /// <param name="meanLight">Mean linear light of the region, 1 = nominal white, which clipped pixels at least have; null where it does not matter.</param>
    public static CompressionLoss Of(RecordingTraits traits, SignalLevel level, double? meanLight = null)
    {
        CompressionLoss loss = Of(traits);
        return loss with
        {
            DarkLift = Min(1, level.Dark * NoiseCodes(traits) * loss.EightBitCode / Sqrt(2 * PI)),
            PumpedByNoise = loss.IsLossy ? 1 - Exp(-0.5 * Pow(NoiseCodes(traits) * loss.EightBitCode, 2)) : 0,
            RowsPerSample = traits.RowsPerSample,
            KeepsNoise = !loss.IsLossy || traits.BitsPerPixel >= NoiseBits,
            ClippedLight = meanLight > 0 ? Min(1, level.Clipped / meanLight.Value) : 0,
        };
    }

    // 8-bit codes.
    private static double NoiseCodes(RecordingTraits traits) => traits.TemporalNoiseCodes ?? 1;

    private static CompressionLoss Of(RecordingTraits traits)
    {
        double eightBitCode = traits.CodeStepRelative * (1 << Max(0, traits.BitDepth - 8));
        double noise = NoiseCodes(traits);
        // Rounding adds 1/12 of a squared code of its own depth to the noise seen.
        double code = 1.0 / (1 << Max(0, traits.BitDepth - 8));
        double rounded = traits.RoundingNoiseCodes ?? noise;
        double staircase = traits.CodeStepRelative * LostInSteps(Max(0, rounded * rounded / (code * code) - 1.0 / 12));
        if (traits.Lossless) return new CompressionLoss(0, 0, staircase, 0, traits.UnchangedShare, eightBitCode);

        double fine, wide, relative, whole;
        if (IntraFineCodecs.Contains(traits.Codec) && traits.BitDepth > 8)
        {
            (fine, wide, relative, whole) = (0.17, 0.03, 0.005, 0);
        }
        else if (traits.BitsPerPixel is { } bits and > 0)
        {
            double rich = Min(1, Pow(4, 1.5 - bits));
            // Bits that go into coding noise do not tell of fine steps: noise of σ codes coded in steps of Δ takes log₂(4.13 σ/Δ) bits a pixel.
            double step = 4.13 * noise * Pow(2, -bits);
            whole = 0.12 * Pow(bits, -0.7) * rich;
            (fine, wide) = (Min(1.3, Max(whole, 0.06 * step)), Min(0.9, 0.075 * Pow(bits, -0.8) * rich));
            // Starved encoders lose a share of any change as well; where there are bits enough for every code of the noise, and half as many for its
            // colour, hardly any is lost.
            relative = rich < 0.25 && 4.13 * noise * Pow(2, -bits / 1.5) < 1.5 ? 0.004 : 0.015 + Min(0.35, 0.0025 / bits);
        }
        else
        {
            // No packet sizes: only the flattened noise speaks.
            fine = wide = 0.2 + Max(0, (traits.UnchangedShare ?? 0) - 0.3);
            relative = 0.05;
            whole = traits.UnchangedShare > NothingChanges ? MostVanishing : 0;
        }
        return new CompressionLoss(Min(1, fine * eightBitCode), Min(1, wide * eightBitCode), staircase, relative, traits.UnchangedShare, eightBitCode)
        {
            Vanishing = Min(1, Max(fine, Min(MostVanishing, whole)) * eightBitCode),
        };
    }

    /// <summary>By how much rounding can falsify the amplitude of a cosine, in steps.</summary>
    /// <remarks>The error of rounding is the sum over k of sin(2πkx)/(πk) with alternating signs, each smoothed by exp(−2π²k²σ²); its part at the cosine's own
    /// frequency is at most 2·J₁(2πkA)/(πk), and 2·J₁ at most 1.164 (Abramowitz &amp; Stegun, 9.1 and 9.5: the first maximum 0.5819 at 1.8412). At the most it is 2/π: the fundamental of a square wave one step high, which is all that
    /// a faint cosine about the middle between two codes becomes.</remarks>
    /// <param name="variance">Of the noise before rounding, in squared steps.</param>
    private static double LostInSteps(double variance)
    {
        double sum = 0;
        for (int k = 1; k <= 8; k++) sum += Exp(-2 * PI * PI * k * k * variance) / k;
        return Min(2 / PI, 1.164 / PI * sum);
    }

    /// <summary>Editing codecs: each frame alone, fine steps, ten bits or more.</summary>
    private static readonly HashSet<string> IntraFineCodecs = new(StringComparer.OrdinalIgnoreCase) { "prores", "dnxhd", "cfhd", "jpeg2000" };
}
