using System.Runtime.InteropServices;
using System.Text.Json;
using System.Text.Json.Serialization;
using FlickerProbe.Camera;

namespace FlickerProbe.Files.Auditions;

/// <summary>How measurements are kept: every number to its last bit, so that a kept measurement gives the same result as a new one.</summary>
internal static class KeptJson
{
    internal static JsonSerializerOptions Options { get; } = new()
    {
        NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
        Converters = { new RateConverter(), new ExposureConverter(), new ReadoutConverter(), new FloatMatrixConverter(), new DoubleArrayConverter() },
    };

    private sealed class RateConverter : JsonConverter<FrameRate>
    {
        private const string Still = "still";

        public override FrameRate Read(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options) => reader.GetString() is { } text && text != Still ? FrameRate.Parse(text) : FrameRate.OfStill;
        public override void Write(Utf8JsonWriter writer, FrameRate value, JsonSerializerOptions options) => writer.WriteStringValue(value.IsStandIn ? Still : value.ToString());
    }

    private sealed class ExposureConverter : JsonConverter<ExposureTime>
    {
        public override ExposureTime Read(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options)
        {
            double[] pair = JsonSerializer.Deserialize<double[]>(ref reader, options)!;
            return ExposureTime.FromSeconds(pair[0], pair[1]);
        }

        public override void Write(Utf8JsonWriter writer, ExposureTime value, JsonSerializerOptions options) =>
            JsonSerializer.Serialize(writer, new[] { value.Seconds, value.RelativeDeviation }, options);
    }

    private sealed class ReadoutConverter : JsonConverter<ReadoutTime>
    {
        public override ReadoutTime Read(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options)
        {
            double[] pair = JsonSerializer.Deserialize<double[]>(ref reader, options)!;
            return ReadoutTime.FromSeconds(pair[0], pair[1]);
        }

        public override void Write(Utf8JsonWriter writer, ReadoutTime value, JsonSerializerOptions options) =>
            JsonSerializer.Serialize(writer, new[] { value.Seconds, value.RelativeDeviation }, options);
    }

    /// <summary>Rows, columns and the floats' own bytes: text would be three times as long and slow to read.</summary>
    private sealed class FloatMatrixConverter : JsonConverter<float[,]>
    {
        public override float[,] Read(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options)
        {
            byte[] bytes = reader.GetBytesFromBase64();
            int rows = BitConverter.ToInt32(bytes, 0), columns = BitConverter.ToInt32(bytes, 4);
            if (rows < 0 || columns < 0 || bytes.Length != 8 + 4L * rows * columns) throw new JsonException("A matrix of another size was announced.");
            float[,] matrix = new float[rows, columns];
            if (matrix.Length > 0) bytes.AsSpan(8).CopyTo(MemoryMarshal.AsBytes(MemoryMarshal.CreateSpan(ref matrix[0, 0], rows * columns)));
            return matrix;
        }

        public override void Write(Utf8JsonWriter writer, float[,] value, JsonSerializerOptions options)
        {
            int rows = value.GetLength(0), columns = value.GetLength(1);
            byte[] bytes = new byte[8 + 4 * rows * columns];
            BitConverter.TryWriteBytes(bytes, rows);
            BitConverter.TryWriteBytes(bytes.AsSpan(4), columns);
            if (value.Length > 0) MemoryMarshal.AsBytes(MemoryMarshal.CreateSpan(ref value[0, 0], rows * columns)).CopyTo(bytes.AsSpan(8));
            writer.WriteBase64StringValue(bytes);
        }
    }

    private sealed class DoubleArrayConverter : JsonConverter<double[]>
    {
        public override double[] Read(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options) =>
            MemoryMarshal.Cast<byte, double>(reader.GetBytesFromBase64()).ToArray();

        public override void Write(Utf8JsonWriter writer, double[] value, JsonSerializerOptions options) =>
            writer.WriteBase64StringValue(MemoryMarshal.AsBytes<double>(value));
    }
}
