using System.Numerics;
using System.Runtime.InteropServices;

namespace FlickerProbe.Rendering.Camera;

/// <summary>Linear light to code values: noise, curve, clipping, rounding, by table.</summary>
/// <remarks>
/// The table runs evenly over √light, where every curve is smooth. Its steps are at most a fortieth of a code
/// (8 and 10 bit) at mid-scale, so the place of a code's threshold is right to an eightieth.
/// </remarks>
internal sealed class Digitiser
{
    private readonly ushort[] _codes;
    private readonly float[] _signals;
    private readonly float _scale; // table steps per √light
    private readonly float _readVariance, _shotVariance;

    public Digitiser(ClipRecipe recipe)
    {
        PixelLayout layout = recipe.Layout;
        if (layout.Bits is not (8 or 10 or 12)) throw new ArgumentException($"{layout.Bits} bits: 8, 10 and 12 are known.");
        double top = recipe.Curve.Decode(recipe.ClipSignal);
        int last = layout.Bits == 8 ? (1 << 16) - 1 : (1 << 18) - 1;
        _scale = (float)(last / Math.Sqrt(top));
        _codes = new ushort[last + 1];
        _signals = new float[last + 1];
        int max = (1 << layout.Bits) - 1, reserved = layout.FullRange ? 0 : 1 << (layout.Bits - 8);
        for (int i = 0; i <= last; i++)
        {
            double root = i / (double)_scale, signal = Math.Min(recipe.Curve.Encode(root * root), recipe.ClipSignal);
            _signals[i] = (float)signal;
            _codes[i] = (ushort)Math.Clamp(Math.Round(layout.BlackCode() + layout.CodeSpan() * signal), reserved, max - reserved);
        }

        double mid = recipe.Curve.Decode(0.5), slope = (recipe.Curve.Decode(0.501) - recipe.Curve.Decode(0.499)) / 0.002;
        double variance = Math.Pow(recipe.Noise.CodesAtMid / 219 * slope, 2); // linear light²
        _readVariance = (float)(variance * (1 - recipe.Noise.ShotShare));
        _shotVariance = (float)(variance * recipe.Noise.ShotShare / mid);
    }

    /// <summary>Adds noise and turns light into places in the table, in place.</summary>
    public void Expose(Span<float> light, Randomness random)
    {
        bool noisy = _readVariance + _shotVariance > 0;
        ReadOnlySpan<float> gauss = noisy ? GaussianTable.Take(random, light.Length) : default;
        int i = 0, step = Vector<float>.Count;
        Vector<float> read = new(_readVariance), shot = new(_shotVariance), scale = new(_scale), half = new(0.5f), top = new(_codes.Length - 1);
        for (; i <= light.Length - step; i += step)
        {
            Vector<float> v = new(light[i..]);
            if (noisy) v += new Vector<float>(gauss[i..]) * Vector.SquareRoot(read + shot * v);
            v = Vector.SquareRoot(Vector.Max(v, Vector<float>.Zero)) * scale + half;
            Vector.Min(v, top).CopyTo(light[i..]);
        }

        for (; i < light.Length; i++)
        {
            float v = light[i];
            if (noisy) v += gauss[i] * MathF.Sqrt(_readVariance + _shotVariance * v);
            light[i] = MathF.Min(MathF.Sqrt(MathF.Max(v, 0)) * _scale + 0.5f, _codes.Length - 1);
        }
    }

    public void Codes(ReadOnlySpan<float> places, Span<byte> into)
    {
        for (int i = 0; i < places.Length; i++) into[i] = (byte)_codes[(int)places[i]];
    }

    public void Codes(ReadOnlySpan<float> places, Span<ushort> into)
    {
        for (int i = 0; i < places.Length; i++) into[i] = _codes[(int)places[i]];
    }

    /// <summary>Table places to signals, in place.</summary>
    public void Signals(Span<float> places)
    {
        for (int i = 0; i < places.Length; i++) places[i] = _signals[(int)places[i]];
    }

    /// <summary>light += map · amount.</summary>
    public static void Add(Span<float> light, ReadOnlySpan<float> map, float amount)
    {
        Span<Vector<float>> to = MemoryMarshal.Cast<float, Vector<float>>(light);
        ReadOnlySpan<Vector<float>> from = MemoryMarshal.Cast<float, Vector<float>>(map);
        for (int i = 0; i < from.Length; i++) to[i] += from[i] * amount;
        for (int i = from.Length * Vector<float>.Count; i < map.Length; i++) light[i] += map[i] * amount;
    }
}
