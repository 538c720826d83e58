namespace FlickerProbe.Tests.References;

/// <summary>Relative Fourier amplitudes C m (overtone over mean) of the classic waveforms; closed forms of any text on Fourier series.</summary>
internal static class SeriesOf
{
    public static double Sine(int m) => m == 1 ? 1 : 0;
    public static double FullWaveRectified(int m) => 2.0 / (4.0 * m * m - 1);
    public static double Pulses(int m, double duty) => 2 * Math.Abs(Math.Sin(Math.PI * m * duty)) / (Math.PI * m * duty);
    public static double Of(string wave, int m) => wave switch
    {
        "sine" => Sine(m),
        "rectified" => FullWaveRectified(m),
        "square" => Pulses(m, 0.5),
        "pulse25" => Pulses(m, 0.25),
        "pulse10" => Pulses(m, 0.10),
        "pulse75" => Pulses(m, 0.75),
        _ => throw new ArgumentOutOfRangeException(nameof(wave)),
    };

    /// <summary>Phase of each cosine with the pulse (or the cusp) centred on 0.</summary>
    public static double Phase(string wave, int m) => wave switch
    {
        "rectified" => Math.PI, // |sin|: cosines all negative, the cusp at 0
        "square" => Math.Sin(Math.PI * m * 0.5) < 0 ? Math.PI : 0,
        "pulse25" => Math.Sin(Math.PI * m * 0.25) < 0 ? Math.PI : 0,
        _ => 0,
    };
}
