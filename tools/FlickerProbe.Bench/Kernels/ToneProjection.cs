using BenchmarkDotNet.Attributes;
using FlickerProbe.Measurement;
using MathNet.Numerics.LinearAlgebra.Single;

namespace FlickerProbe.Bench.Kernels;

/// <summary>The part of the tone fit that touches all the data: every frame's rows against the tone's cosine and sine and their slopes, 1800 frames × 1080 rows.</summary>
public class ToneProjection
{
    private const int Frames = 1800, Rows = 1080;
    private readonly float[] _light = new float[Frames * Rows];
    private readonly float[][] _basis = [.. Enumerable.Range(0, 4).Select(_ => new float[Rows])];
    private DenseMatrix _lightMatrix = null!, _basisMatrix = null!;

    [GlobalSetup]
    public void Fill()
    {
        Random random = new(1);
        for (int i = 0; i < _light.Length; i++) _light[i] = (float)(random.NextDouble() - 0.5);
        for (int row = 0; row < Rows; row++)
        {
            double angle = 2 * Math.PI * 0.0121 * row;
            (_basis[0][row], _basis[1][row]) = ((float)Math.Cos(angle), (float)Math.Sin(angle));
            (_basis[2][row], _basis[3][row]) = (_basis[0][row] * (row - Rows / 2), _basis[1][row] * (row - Rows / 2));
        }
        // Columns are frames: MathNet keeps columns together.
        _lightMatrix = new DenseMatrix(Rows, Frames, _light);
        _basisMatrix = DenseMatrix.OfColumnArrays(_basis);
    }

    [Benchmark(Description = "flickerprobe")]
    public double Ours()
    {
        double sum = 0;
        for (int frame = 0; frame < Frames; frame++)
        {
            (double a, double b, double c, double d) = RowKernel.Dots(_light.AsSpan(frame * Rows, Rows), _basis[0], _basis[1], _basis[2], _basis[3]);
            sum += a + b + c + d;
        }
        return sum;
    }

    [Benchmark(Description = "plain loop", Baseline = true)]
    public double Plain()
    {
        double sum = 0;
        for (int frame = 0; frame < Frames; frame++)
        {
            double a = 0, b = 0, c = 0, d = 0;
            for (int row = 0; row < Rows; row++)
            {
                float light = _light[frame * Rows + row];
                a += light * _basis[0][row];
                b += light * _basis[1][row];
                c += light * _basis[2][row];
                d += light * _basis[3][row];
            }
            sum += a + b + c + d;
        }
        return sum;
    }

    [Benchmark(Description = "MathNet: product of dense matrices")]
    public double MathNet()
    {
        return _basisMatrix.TransposeThisAndMultiply(_lightMatrix)[0, 0];
    }
}
