using BenchmarkDotNet.Attributes;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using MathNet.Numerics.Statistics;
using SkiaSharp;

namespace FlickerProbe.Bench.Kernels;

/// <summary>Mean linear light of every row of one 1080p picture, 8-bit codes.</summary>
[System.Diagnostics.CodeAnalysis.SuppressMessage("Design", "CA1001", Justification = "Lives as long as the process; BenchmarkDotNet wants an open class.")]
public class RowMeans8
{
    private const int Width = 1920, Height = 1080;
    private readonly byte[] _codes = new byte[Width * Height];
    private readonly double[] _table = LightTable.Build(TransferFunction.Bt709, new SignalScale(SignalRange.Limited, 8));
    private readonly RowSums _sums = new(LightTable.Build(TransferFunction.Bt709, new SignalScale(SignalRange.Limited, 8)));
    private readonly double[] _mapped = new double[Width];
    private readonly SKBitmap _picture = new(new SKImageInfo(Width, Height, SKColorType.Gray8, SKAlphaType.Opaque));
    private readonly SKBitmap _column = new(new SKImageInfo(1, Height, SKColorType.Gray8, SKAlphaType.Opaque));

    [GlobalSetup]
    public unsafe void Fill()
    {
        Random random = new(1);
        for (int i = 0; i < _codes.Length; i++) _codes[i] = (byte)random.Next(120, 150);
        _codes.CopyTo(new Span<byte>((void*)_picture.GetPixels(), _codes.Length));
    }

    [Benchmark(Description = "flickerprobe")]
    public double Ours()
    {
        double last = 0;
        for (int row = 0; row < Height; row++) last = _sums.Of(_codes.AsSpan(row * Width, Width)) / Width;
        return last;
    }

    [Benchmark(Description = "plain loop", Baseline = true)]
    public double Plain()
    {
        double last = 0;
        for (int row = 0; row < Height; row++)
        {
            double sum = 0;
            for (int x = 0; x < Width; x++) sum += _table[_codes[row * Width + x]];
            last = sum / Width;
        }
        return last;
    }

    [Benchmark(Description = "MathNet: mean of looked-up light")]
    public double MathNet()
    {
        double last = 0;
        for (int row = 0; row < Height; row++)
        {
            for (int x = 0; x < Width; x++) _mapped[x] = _table[_codes[row * Width + x]];
            last = ArrayStatistics.Mean(_mapped);
        }
        return last;
    }

    [Benchmark(Description = "SkiaSharp: scaled to one column (of codes, not of light)")]
    public bool Skia() => _picture.ScalePixels(_column, SKFilterQuality.Medium);
}

/// <summary>The same for 10-bit codes.</summary>
public class RowMeans10
{
    private const int Width = 1920, Height = 1080;
    private readonly ushort[] _codes = new ushort[Width * Height];
    private readonly double[] _table = LightTable.Build(TransferFunction.Bt709, new SignalScale(SignalRange.Limited, 10));
    private readonly RowSums _sums = new(LightTable.Build(TransferFunction.Bt709, new SignalScale(SignalRange.Limited, 10)));
    private readonly double[] _mapped = new double[Width];

    [GlobalSetup]
    public void Fill()
    {
        Random random = new(1);
        for (int i = 0; i < _codes.Length; i++) _codes[i] = (ushort)random.Next(480, 600);
    }

    [Benchmark(Description = "flickerprobe")]
    public double Ours()
    {
        double last = 0;
        for (int row = 0; row < Height; row++) last = _sums.Of(_codes.AsSpan(row * Width, Width)) / Width;
        return last;
    }

    [Benchmark(Description = "plain loop", Baseline = true)]
    public double Plain()
    {
        double last = 0;
        for (int row = 0; row < Height; row++)
        {
            double sum = 0;
            for (int x = 0; x < Width; x++) sum += _table[_codes[row * Width + x]];
            last = sum / Width;
        }
        return last;
    }

    [Benchmark(Description = "MathNet: mean of looked-up light")]
    public double MathNet()
    {
        double last = 0;
        for (int row = 0; row < Height; row++)
        {
            for (int x = 0; x < Width; x++) _mapped[x] = _table[_codes[row * Width + x]];
            last = ArrayStatistics.Mean(_mapped);
        }
        return last;
    }
}
