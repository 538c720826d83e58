namespace FlickerProbe.Measurement;

/// <summary>Whether each frame holds part of the one before: converters of frame rates and noise reduction mix frames, and what moves fast from frame to frame fades.</summary>
/// <remarks>
/// A sensor's noise is new in every frame. Mixed with the share b of the frame before it is correlated from frame to frame, by b(1−b)/((1−b)²+b²) over one
/// frame and not over two; mixed with all frames before by b and b². What moves or drifts is correlated over two frames nearly as much as over one. Encoders that
/// predict frames from each other keep noise too, so only recordings that keep each frame for itself can tell.
/// </remarks>
internal static class FrameMixing
{
    /// <summary>Correlation from frame to frame, over that of two frames, from which frames are taken for mixed: shares of a seventh and more.</summary>
    private const double Plain = 0.15;

    private const int FewestTicks = 24;

    /// <summary>Whether the noise that a fit leaves shows mixed frames.</summary>
    /// <param name="matrix">The take.</param>
    /// <param name="residual">What the tones leave, ticks × lines.</param>
    /// <param name="loss">What the encoder may have done.</param>
    public static bool IsPlain(LightMatrix matrix, float[] residual, CompressionLoss loss) =>
        !loss.IsLossy && matrix.Parities == 1 && matrix.Ticks >= FewestTicks && Correlation(matrix, residual, 1) - Correlation(matrix, residual, 2) > Plain;

    private static double Correlation(LightMatrix matrix, float[] residual, int lag)
    {
        double both = 0, first = 0, second = 0;
        for (int n = 0; n + lag < matrix.Ticks; n++)
        {
            if (!matrix.Present[n] || !matrix.Present[n + lag]) continue;
            ReadOnlySpan<float> a = residual.AsSpan(n * matrix.Lines, matrix.Lines), b = residual.AsSpan((n + lag) * matrix.Lines, matrix.Lines);
            both += RowKernel.Dot(a, b);
            first += RowKernel.Dot(a, a);
            second += RowKernel.Dot(b, b);
        }
        return first > 0 && second > 0 ? both / Math.Sqrt(first * second) : 0;
    }
}
