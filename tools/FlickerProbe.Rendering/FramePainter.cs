using System.Runtime.InteropServices;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Scene;

namespace FlickerProbe.Rendering;

/// <summary>Paints one frame after another into one buffer of sample planes.</summary>
internal sealed class FramePainter
{
    private readonly ClipRecipe _recipe;
    private readonly SceneLights _lights;
    private readonly List<LayerMap> _layers;
    private readonly Digitiser _digitiser;
    private readonly double[] _rowLight; // per row and source: R, G, B
    private readonly bool _colour;
    private readonly float[][] _line; // one per channel
    private readonly float[] _chroma; // Cb and Cr sums of a chroma row, per row of chroma samples
    private readonly byte[]? _previous;
    private readonly byte[] _upright; // as the sensor reads it; Frame itself unless pictures are turned
    private readonly (double Min, double Max)[] _seen;
    private readonly (int Chroma, int Width, int Height) _chromaShape;
    private readonly int _sampleBytes;

    public FramePainter(ClipRecipe recipe)
    {
        _recipe = recipe;
        PixelLayout layout = recipe.Layout;
        if (recipe.Width < 2 || recipe.Height < 2) throw new ArgumentException($"A picture of {recipe.Width}×{recipe.Height} is too small.");
        if (layout.Chroma is ChromaSampling.C420 or ChromaSampling.C422 && recipe.Width % 2 == 1) throw new ArgumentException("4:2:0 and 4:2:2 need an even width.");
        if (layout.Chroma == ChromaSampling.C420 && recipe.Height % 2 == 1) throw new ArgumentException("4:2:0 needs an even height.");
        if (recipe.Faults.Fields != FieldOrder.Progressive && recipe.Height % 4 != 0) throw new ArgumentException("Interlaced pictures need a height that is a multiple of 4.");
        double period = 1 / recipe.FrameRate.FramesPerSecond * (1 + 1e-9);
        if (!(recipe.ExposureSeconds > 0) || recipe.ExposureSeconds > period)
            throw new ArgumentException($"An exposure of {recipe.ExposureSeconds} s: it must be above zero and fit into a frame at {recipe.FrameRate} frames a second.");
        if (!(Math.Abs(recipe.ReadoutSeconds) <= period)) throw new ArgumentException($"A readout of {recipe.ReadoutSeconds} s does not fit into a frame at {recipe.FrameRate} frames a second.");
        if (recipe.Faults.TurnedDegrees is not (0 or 90 or 180 or 270)) throw new ArgumentException($"Pictures turned by {recipe.Faults.TurnedDegrees} degrees: 0, 90, 180 and 270 are known.");
        if (recipe.Faults.TurnedDegrees % 180 != 0 && layout.Chroma == ChromaSampling.C422) throw new ArgumentException("Pictures of 4:2:2 cannot be turned on their side.");
        if (recipe.Faults.TurnedDegrees != 0 && recipe.Faults.Fields != FieldOrder.Progressive) throw new ArgumentException("Turned pictures cannot be interlaced.");
        _lights = new SceneLights(recipe);
        _layers = LayerMap.Of(recipe, _lights);
        _digitiser = new Digitiser(recipe);
        _rowLight = new double[recipe.Height * _lights.Count * 3];
        _colour = !_lights.Neutral || recipe.Surfaces.Any(s => !s.Colour.IsNeutral());
        _line = [.. Enumerable.Range(0, _colour ? 3 : 1).Select(_ => new float[recipe.Width])];
        _chromaShape = layout.Chroma switch
        {
            ChromaSampling.Gray => (0, 0, 0),
            ChromaSampling.C420 => (1, recipe.Width / 2, recipe.Height / 2),
            ChromaSampling.C422 => (1, recipe.Width / 2, recipe.Height),
            _ => (1, recipe.Width, recipe.Height),
        };
        _chroma = new float[2 * _chromaShape.Width * _chromaShape.Height];
        _sampleBytes = layout.Bits == 8 ? 1 : 2;
        Frame = new byte[(recipe.Width * recipe.Height + 2 * _chromaShape.Width * _chromaShape.Height) * _sampleBytes];
        _upright = recipe.Faults.TurnedDegrees == 0 ? Frame : new byte[Frame.Length];
        if (recipe.Faults.BlendWithPrevious > 0) _previous = new byte[Frame.Length];
        _seen = new (double, double)[recipe.Surfaces.Count];
        Array.Fill(_seen, (double.PositiveInfinity, double.NegativeInfinity));
    }

    /// <summary>The planes of the frame painted last.</summary>
    public byte[] Frame { get; }

    /// <summary>Whether anything in the scene is coloured.</summary>
    public bool Colour => _colour;

    public double DepthInClip(int surface)
    {
        (double min, double max) = _seen[surface];
        return max + min > 0 ? (max - min) / (max + min) : 0;
    }

    /// <summary>Works out the light of every row of a frame.</summary>
    public void ExposeRows(PlannedFrame frame)
    {
        int h = _recipe.Height, width = _lights.Count * 3;
        double start = _recipe.StartSeconds + frame.SensorSeconds, rowSeconds = _recipe.ReadoutSeconds / h;
        double shift = _recipe.Faults.StabiliserRows > 0
            ? _recipe.Faults.StabiliserRows * Randomness.For(_recipe.Seed, 1_000_000 + frame.SensorFrame).NextGaussian() : 0;
        double fieldSeconds = 0.5 / _recipe.FrameRate.FramesPerSecond;
        FieldOrder fields = _recipe.Faults.Fields;
        bool global = _recipe.ReadoutSeconds == 0;
        for (int r = 0; r < h; r++)
        {
            bool second = fields switch
            {
                FieldOrder.TopFirst => (r & 1) == 1,
                FieldOrder.BottomFirst => (r & 1) == 0,
                _ => false,
            };
            Span<double> row = _rowLight.AsSpan(r * width, width);
            int like = fields == FieldOrder.Progressive ? 1 : 2; // the row before of the same field
            if (global && r >= like) _rowLight.AsSpan((r - like) * width, width).CopyTo(row);
            else _lights.Expose(start + (second ? fieldSeconds : 0) + (r + shift) * rowSeconds, row);
        }

        Note();
    }

    /// <summary>Paints a frame into <see cref="Frame"/>.</summary>
    public void Paint(PlannedFrame frame)
    {
        ExposeRows(frame);
        Randomness random = Randomness.For(_recipe.Seed, 10_000_000 + frame.SensorFrame);
        float gain = (float)Gain(frame.SensorSeconds, random);
        int w = _recipe.Width, h = _recipe.Height, sources = _lights.Count;
        if (_colour) Array.Clear(_chroma);
        for (int r = 0; r < h; r++)
        {
            foreach (float[] line in _line) Array.Clear(line);
            Span<double> light = _rowLight.AsSpan(r * sources * 3, sources * 3);
            foreach (LayerMap layer in _layers)
            {
                if (r < layer.Area.Y || r >= layer.Area.Y + layer.Area.Height) continue;
                ReadOnlySpan<float> map = layer.Light.AsSpan((r - layer.Area.Y) * layer.Area.Width, layer.Area.Width);
                for (int c = 0; c < _line.Length; c++)
                {
                    double reflectance = c == 0 ? layer.Colour.R : c == 1 ? layer.Colour.G : layer.Colour.B;
                    Digitiser.Add(_line[c].AsSpan(layer.Area.X, layer.Area.Width), map, (float)(light[3 * layer.Source + c] * reflectance) * gain);
                }
            }

            foreach (Passer p in _recipe.Passers) PaintPasser(p, r, frame.SensorSeconds, light, gain);
            foreach (float[] line in _line) _digitiser.Expose(line, random);
            if (_colour) ColourRow(r);
            else if (_sampleBytes == 1) _digitiser.Codes(_line[0], _upright.AsSpan(r * w, w));
            else _digitiser.Codes(_line[0], MemoryMarshal.Cast<byte, ushort>(_upright.AsSpan(r * w * 2, w * 2)));
        }

        FinishChroma();
        Blend();
        Turn();
    }

    private double Gain(double seconds, Randomness random)
    {
        ClipFaults f = _recipe.Faults;
        double gain = 1 + f.DriftPerSecond * seconds, from = 1;
        double automatic = 1;
        foreach (GainStep s in f.GainSteps)
        {
            if (seconds < s.AtSeconds) break;
            double share = s.RampSeconds > 0 ? Math.Min(1, (seconds - s.AtSeconds) / s.RampSeconds) : 1;
            automatic = from + (s.Factor - from) * share;
            from = s.Factor;
        }

        double wobble = _recipe.Noise.FrameGain > 0 ? 1 + _recipe.Noise.FrameGain * random.NextGaussian() : 1;
        return gain * automatic * wobble;
    }

    private void PaintPasser(Passer p, int row, double seconds, Span<double> light, float gain)
    {
        if (row < p.Top) return;
        double middle = p.StartX + p.PixelsPerSecond * seconds;
        int x0 = Math.Clamp((int)Math.Round(middle - p.Width / 2.0), 0, _recipe.Width), x1 = Math.Clamp((int)Math.Round(middle + p.Width / 2.0), 0, _recipe.Width);
        if (x1 <= x0) return;
        double level = _recipe.Curve.Decode(p.SignalLevel);
        for (int c = 0; c < _line.Length; c++)
        {
            double sum = 0;
            foreach (LightOnSurface l in p.Lights) sum += l.Share * light[3 * _lights.IndexOf(l.Source) + c];
            _line[c].AsSpan(x0, x1 - x0).Fill((float)(level * sum) * gain);
        }
    }

    private void ColourRow(int r)
    {
        int w = _recipe.Width;
        PixelLayout layout = _recipe.Layout;
        foreach (float[] line in _line) _digitiser.Signals(line);
        (double kr, double kb) = layout.Weights();
        float wr = (float)kr, wb = (float)kb, wg = 1 - wr - wb;
        float black = (float)layout.BlackCode(), span = (float)layout.CodeSpan();
        int max = (1 << layout.Bits) - 1, reserved = layout.FullRange ? 0 : 1 << (layout.Bits - 8);
        int across = _chromaShape.Width == 0 ? 1 : w / _chromaShape.Width;
        int chromaRow = ChromaRow(r), plane = _chromaShape.Width * _chromaShape.Height;
        float[] red = _line[0], green = _line[1], blue = _line[2];
        for (int x = 0; x < w; x++)
        {
            float y = wr * red[x] + wg * green[x] + wb * blue[x];
            int code = Math.Clamp((int)MathF.Round(black + span * y), reserved, max - reserved);
            if (_sampleBytes == 1) _upright[r * w + x] = (byte)code;
            else MemoryMarshal.Cast<byte, ushort>(_upright.AsSpan())[r * w + x] = (ushort)code;
            if (plane == 0) continue;
            int at = chromaRow * _chromaShape.Width + x / across;
            _chroma[at] += (blue[x] - y) / (2 * (1 - wb));
            _chroma[plane + at] += (red[x] - y) / (2 * (1 - wr));
        }
    }

    /// <summary>In interlaced 4:2:0 a chroma row belongs to one field: chroma rows alternate as luma rows do.</summary>
    private int ChromaRow(int r)
    {
        if (_recipe.Layout.Chroma != ChromaSampling.C420) return r;
        return _recipe.Faults.Fields == FieldOrder.Progressive ? r / 2 : r / 4 * 2 + (r & 1);
    }

    private void FinishChroma()
    {
        int plane = _chromaShape.Width * _chromaShape.Height;
        if (plane == 0) return;
        PixelLayout layout = _recipe.Layout;
        int middle = 1 << (layout.Bits - 1), max = (1 << layout.Bits) - 1, reserved = layout.FullRange ? 0 : 1 << (layout.Bits - 8);
        float span = layout.FullRange ? max : 224 << (layout.Bits - 8);
        float count = (float)(_recipe.Width / _chromaShape.Width) * (_recipe.Height / _chromaShape.Height);
        Span<byte> chroma = _upright.AsSpan(_recipe.Width * _recipe.Height * _sampleBytes);
        Span<ushort> wide = _sampleBytes == 2 ? MemoryMarshal.Cast<byte, ushort>(chroma) : default;
        for (int i = 0; i < 2 * plane; i++)
        {
            int code = _colour ? Math.Clamp((int)MathF.Round(middle + span * _chroma[i] / count), reserved, max - reserved) : middle;
            if (_sampleBytes == 1) chroma[i] = (byte)code;
            else wide[i] = (ushort)code;
        }
    }

    private void Blend()
    {
        if (_previous is null) return;
        double share = _recipe.Faults.BlendWithPrevious;
        bool first = _previous.AsSpan().IndexOfAnyExcept((byte)0) < 0;
        byte[] pure = (byte[])_upright.Clone();
        if (!first)
        {
            if (_sampleBytes == 1)
            {
                for (int i = 0; i < _upright.Length; i++) _upright[i] = (byte)Math.Round(_upright[i] * (1 - share) + _previous[i] * share);
            }
            else
            {
                Span<ushort> now = MemoryMarshal.Cast<byte, ushort>(_upright.AsSpan()), before = MemoryMarshal.Cast<byte, ushort>(_previous.AsSpan());
                for (int i = 0; i < now.Length; i++) now[i] = (ushort)Math.Round(now[i] * (1 - share) + before[i] * share);
            }
        }

        pure.CopyTo(_previous, 0);
    }

    private void Turn()
    {
        if (_recipe.Faults.TurnedDegrees == 0) return;
        int at = TurnPlane(0, _recipe.Width, _recipe.Height);
        at = TurnPlane(at, _chromaShape.Width, _chromaShape.Height);
        TurnPlane(at, _chromaShape.Width, _chromaShape.Height);
    }

    /// <summary>Turns one plane of samples clockwise from <see cref="_upright"/> into <see cref="Frame"/>; returns where the next begins.</summary>
    private int TurnPlane(int at, int w, int h)
    {
        for (int y = 0; y < h; y++)
        {
            for (int x = 0; x < w; x++)
            {
                int to = _recipe.Faults.TurnedDegrees switch
                {
                    90 => x * h + h - 1 - y,
                    180 => (h - 1 - y) * w + w - 1 - x,
                    _ => (w - 1 - x) * h + y,
                };
                for (int k = 0; k < _sampleBytes; k++) Frame[at + to * _sampleBytes + k] = _upright[at + (y * w + x) * _sampleBytes + k];
            }
        }

        return at + w * h * _sampleBytes;
    }

    /// <summary>Keeps the extremes of each surface's row light, for <see cref="DepthInClip"/>.</summary>
    private void Note()
    {
        (double kr, double kb) = _recipe.Layout.Weights();
        for (int i = 0; i < _seen.Length; i++)
        {
            Surface s = _recipe.Surfaces[i];
            int top = s.Area?.Y ?? 0, bottom = top + (s.Area?.Height ?? _recipe.Height);
            (double min, double max) = _seen[i];
            int[] sources = [.. s.Lights.Select(l => _lights.IndexOf(l.Source))];
            for (int r = top; r < bottom; r++)
            {
                double sum = 0;
                for (int k = 0; k < sources.Length; k++)
                {
                    int at = (r * _lights.Count + sources[k]) * 3;
                    sum += s.Lights[k].Share * (kr * s.Colour.R * _rowLight[at] + (1 - kr - kb) * s.Colour.G * _rowLight[at + 1] + kb * s.Colour.B * _rowLight[at + 2]);
                }

                min = Math.Min(min, sum);
                max = Math.Max(max, sum);
            }

            _seen[i] = (min, max);
        }
    }
}
